"""What is printed: the stem sticker and the sheets, in true millimetres."""
