"""The vocabulary that every part of Hummock speaks; imports nothing else of the project."""
