"""From reflectance to colour: observer, illuminant, CIELAB, colour difference, screen."""
