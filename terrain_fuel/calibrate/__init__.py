"""Power and drag for riders without a power meter: from a recording, or from one honest sentence."""

from terrain_fuel.calibrate.recording import Calibration, calibrate_ride
from terrain_fuel.calibrate.sentence import SentenceCalibration, calibrate_sentence

__all__ = ["Calibration", "SentenceCalibration", "calibrate_ride", "calibrate_sentence"]
