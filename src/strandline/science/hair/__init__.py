"""What a state of hair looks like: pigment to reflectance, the two scales, mixing, shades."""
