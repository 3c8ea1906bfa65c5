"""Power, drag and halts from a recording, or power from one honest sentence."""

from terrain_fuel.calibrate.ride import Calibration, calibrate_ride
from terrain_fuel.calibrate.sentence import Company, SentenceCalibration, calibrate_sentence

__all__ = ["Calibration", "Company", "SentenceCalibration", "calibrate_ride", "calibrate_sentence"]
