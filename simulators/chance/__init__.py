"""Lots drawn at random: recipe, workshop, habits and mishaps, each from one source of chance."""
