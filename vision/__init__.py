"""From a clip to measurements. No web, no database, no prescription."""
