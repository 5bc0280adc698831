"""The bytes of pictures: which kind they are, what they hold beside the picture, and the same without that."""
