"""drillapp: daily reading drills for strummed guitar."""

__version__ = "0.1.0"
