"""Where the landmark weights come from, their checksums and licence (see README.md beside this file)."""

from models.pose.bundle import larger_bundle
from models.pose.system import require_system_libraries
from models.pose.weights import landmark_model_sha256, weights_path

__all__ = ["landmark_model_sha256", "larger_bundle", "require_system_libraries", "weights_path"]
