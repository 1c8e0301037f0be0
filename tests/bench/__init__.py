"""Measurements that take longer than tests should; none is collected."""
