"""Pockets: what is carried where, what is kept back and what is done beforehand, once all is placed."""
