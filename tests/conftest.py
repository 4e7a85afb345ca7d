import sys
from pathlib import Path

from hypothesis import settings

sys.path.insert(0, str(Path(__file__).parent / "helpers"))
sys.path.append(str(Path(__file__).parent))  # for the package of the recorded commands

settings.register_profile("hummock", deadline=None, derandomize=True, max_examples=100)
settings.load_profile("hummock")
