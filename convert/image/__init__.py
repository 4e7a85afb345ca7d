"""From bytes to pixels in linear light."""
