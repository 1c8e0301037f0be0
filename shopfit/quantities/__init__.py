"""Take-off of a layout: what is bought, cut and hung."""
