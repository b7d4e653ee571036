"""What the things at the bench do by themselves, as pure models with time passed in."""
