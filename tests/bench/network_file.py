"""Reads a network that `flatten.ts` wrote, and the current of its loads."""
import json

import numpy as np


def read(path):
    with open(path, "rb") as file:
        header = json.loads(file.readline())
        take = lambda kind, count: np.frombuffer(file.read(count * np.dtype(kind).itemsize), kind)
        ends = take("<i4", 2 * header["resistors"]).reshape(-1, 2)
        ohms = take("<f8", header["resistors"])
        loads = take("<i4", 2 * header["loads"]).reshape(-1, 2)
        scale = take("<f8", header["loads"])
    return header, ends, ohms, loads, scale


def curve(model, scale, u):
    """Current and slope of all loads at once."""
    ramp = model["quiescentAmps"] / model["quiescentVolts"]
    amps = model["quiescentAmps"] * np.clip(u / model["quiescentVolts"], 0, 1)
    slope = np.where((u > 0) & (u < model["quiescentVolts"]), ramp, 0)
    for channel in model["channels"]:
        width = channel["kneeVolts"] - channel["zeroVolts"]
        t = np.clip((u - channel["zeroVolts"]) / width, 0, 1)
        amps = amps + scale * channel["amps"] * t * t * (3 - 2 * t)
        slope = slope + scale * channel["amps"] * 6 * t * (1 - t) / width
    return amps, slope
