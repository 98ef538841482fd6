"""What products do to hair: developer, lift, deposit, fade, harm; state in, state out."""
