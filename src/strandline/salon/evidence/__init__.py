"""Checks against what stands outside the project, shown as they come out, failing ones too."""
