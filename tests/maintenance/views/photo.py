"""A small photo for tests."""

from io import BytesIO

from PIL import Image


def a_jpeg(colour: str = "grey") -> bytes:
    """A plain JPEG of 64 by 48."""
    file = BytesIO()
    Image.new("RGB", (64, 48), colour).save(file, "JPEG")
    return file.getvalue()
