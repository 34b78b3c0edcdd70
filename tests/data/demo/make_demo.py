"""Draws the demo's plan sheets and writes the demo without detectors and wiring.

Every name, part and price is invented. Run with Pillow installed:

    python3 tests/data/demo/make_demo.py FONT.ttf > stripped.json
    brattice calculate stripped.json --suggest --out DIR

`DIR/project.json` is then the finished demo, static/demo/research-building.json.
"""

import base64
import hashlib
import io
import json
import sys

from PIL import Image, ImageDraw, ImageFont

PX = 45  # pixels a metre
MARGIN = 1.0  # metres of paper around the building
WIDTH, DEPTH = 36.0, 17.0
YARD = (36.6, 10.2, 41.0, 16.4)

LAB, BOILER, PLANT, STORE = "laboratory", "boiler_room", "plant_room", "store"
CORRIDOR, OFFICE, WORKSHOP, STAIR, OTHER = "corridor", "office", "workshop", "stair", "other"

# number, name, use, x0, y0, x1, y1, ceiling, air changes (None: the surveyor does not know)
GROUND = [
    ("G.01", "Reception", OTHER, 0, 0, 6, 7.2, 3.2, 2.0),
    ("G.02", "Gas laboratory", LAB, 6, 0, 13, 7.2, 3.0, 8.0),
    ("G.03", "Solvent laboratory", LAB, 13, 0, 20, 7.2, 3.0, 8.0),
    ("G.04", "Cryogen store", STORE, 20, 0, 26, 7.2, 3.4, 4.0),
    ("G.05", "Cylinder store", STORE, 26, 0, 31, 7.2, 3.4, 3.0),
    ("G.06", "Stair", STAIR, 31, 0, 36, 7.2, 3.4, None),
    ("G.07", "Corridor", CORRIDOR, 0, 7.2, 36, 9.6, 2.8, 1.0),
    ("G.08", "Caretaker's office", OFFICE, 0, 9.6, 5, 17, 2.8, 2.0),
    ("G.09", "Boiler room", BOILER, 5, 9.6, 12, 17, 3.7, 1.0),
    ("G.10", "Workshop", WORKSHOP, 12, 9.6, 18, 17, 3.2, 2.0),
    ("G.11", "Ammonia plant room", PLANT, 18, 9.6, 27, 17, 4.5, 6.0),
    ("G.12", "Switch and battery room", OTHER, 27, 9.6, 31, 17, 3.0, 1.0),
    ("G.13", "Goods entrance", OTHER, 31, 9.6, 36, 17, 3.4, 1.0),
]
FIRST = [
    ("1.01", "Seminar room", OTHER, 0, 0, 7, 7.2, 3.0, 3.0),
    ("1.02", "Cell culture laboratory", LAB, 7, 0, 14, 7.2, 3.0, 8.0),
    ("1.03", "Synthesis laboratory", LAB, 14, 0, 22, 7.2, 3.0, 10.0),
    ("1.04", "Analytical laboratory", LAB, 22, 0, 29, 7.2, 3.0, 8.0),
    ("1.05", "Chemical store", STORE, 29, 0, 31, 7.2, 2.8, 5.0),
    ("1.06", "Stair", STAIR, 31, 0, 36, 7.2, 3.4, None),
    ("1.07", "Corridor", CORRIDOR, 0, 7.2, 36, 9.6, 2.8, 1.0),
    ("1.08", "Office", OFFICE, 0, 9.6, 6, 17, 2.8, 2.0),
    ("1.09", "Office", OFFICE, 6, 9.6, 12, 17, 2.8, 2.0),
    ("1.10", "Low-temperature laboratory", LAB, 12, 9.6, 20, 17, 3.2, 6.0),
    ("1.11", "Write-up area", OFFICE, 20, 9.6, 26, 17, 2.8, 2.0),
    ("1.12", "Pump room", PLANT, 26, 9.6, 31, 17, 3.0, 4.0),
    ("1.13", "Landing", OTHER, 31, 9.6, 36, 17, 3.0, 1.0),
]
# number of the room, x of the door's first jamb on the corridor wall, width
DOORS_GROUND = [
    ("G.01", 3.6, 1.2), ("G.02", 10.9, 1.2), ("G.03", 14.2, 1.2), ("G.04", 21.0, 1.2),
    ("G.05", 28.4, 1.2), ("G.06", 32.6, 1.6), ("G.08", 3.2, 1.0), ("G.09", 8.0, 1.4),
    ("G.10", 13.2, 1.4), ("G.11", 21.6, 1.6), ("G.12", 28.6, 1.0), ("G.13", 32.6, 2.0),
]
DOORS_FIRST = [
    ("1.01", 4.6, 1.2), ("1.02", 8.2, 1.2), ("1.03", 19.6, 1.2), ("1.04", 23.2, 1.2),
    ("1.05", 29.5, 1.0), ("1.06", 32.6, 1.6), ("1.08", 4.0, 1.0), ("1.09", 7.2, 1.0),
    ("1.10", 13.4, 1.2), ("1.11", 21.2, 1.2), ("1.12", 27.2, 1.2), ("1.13", 32.6, 2.0),
]
# floor, name, x, y, height, substance, how held
SOURCES = [
    (1, "hydrogen regulator", 8.0, 0.6, 1.5, "1333-74-0", "gas"),
    (1, "hydrogen bench", 11.4, 3.4, 0.9, "1333-74-0", "gas"),
    (1, "nitrogen manifold", 12.4, 5.4, 1.4, "7727-37-9", "gas"),
    (1, "acetone bench", 14.6, 3.2, 0.9, "67-64-1", "liquid"),
    (1, "toluene bench", 18.2, 3.2, 0.9, "108-88-3", "liquid"),
    (1, "dewar filling", 21.6, 2.0, 0.8, "7727-37-9", "cryogenic_liquid"),
    (1, "dewar park", 24.4, 2.0, 0.6, "7727-37-9", "cryogenic_liquid"),
    (1, "CO2 bundle", 27.2, 1.0, 1.4, "124-38-9", "gas"),
    (1, "hydrogen cylinders", 29.8, 1.0, 1.4, "1333-74-0", "gas"),
    (1, "boiler 1 burner", 6.6, 14.6, 0.8, "natural-gas", "gas"),
    (1, "boiler 2 burner", 9.2, 14.6, 0.8, "natural-gas", "gas"),
    (1, "gas train", 11.3, 11.2, 1.2, "natural-gas", "gas"),
    (1, "boiler flue hood", 7.9, 15.4, 1.9, "630-08-0", "flue_gas"),
    (1, "compressor 1", 20.4, 13.0, 0.8, "7664-41-7", "gas"),
    (1, "compressor 2", 23.4, 13.0, 0.8, "7664-41-7", "gas"),
    (1, "receiver valves", 25.8, 15.6, 1.1, "7664-41-7", "gas"),
    (1, "standby battery", 28.2, 12.0, 0.9, "1333-74-0", "gas"),
    (2, "incubator row", 8.6, 1.0, 1.0, "124-38-9", "gas"),
    (2, "incubator island", 11.6, 3.8, 1.0, "124-38-9", "gas"),
    (2, "ether still", 15.4, 1.2, 1.1, "60-29-7", "liquid"),
    (2, "hexane bench", 19.0, 3.4, 0.9, "110-54-3", "liquid"),
    (2, "ethanol wash", 21.2, 1.2, 0.9, "64-17-5", "liquid"),
    (2, "chromatograph hydrogen", 23.4, 1.0, 1.2, "1333-74-0", "gas"),
    (2, "nitrogen generator", 27.6, 1.2, 0.8, "7727-37-9", "gas"),
    (2, "solvent cabinet", 30.0, 1.0, 0.5, "67-64-1", "liquid"),
    (2, "magnet quench line", 15.0, 13.6, 2.2, "7440-59-7", "cryogenic_liquid"),
    (2, "nitrogen dewar", 18.4, 14.6, 0.7, "7727-37-9", "cryogenic_liquid"),
    (2, "vacuum pump exhaust", 28.4, 15.0, 0.6, "7440-37-1", "gas"),
]
# The surveyor could not see these: height or way of holding is not known.
UNKNOWN_HEIGHT = {"solvent cabinet", "nitrogen generator"}
UNKNOWN_HOLDING = {"vacuum pump exhaust"}


def leak(joint, pressure, **more):
    return {"kind": "leak", "joint": joint, "pressure": pressure, **more}


def cylinders(number, pressure):
    return {"kind": "cylinder", "litres": 50, "pressure": pressure, "number": number}


def burner(rating):
    return {"kind": "low_pressure", "rating": rating, "pressure": 20}


def spill(litres):
    return {"kind": "spill", "litres": litres}


def dewar(litres, **more):
    return {"kind": "dewar", "litres": litres, **more}


# What of a room's form and air bears on its gas, by number.
FEATURES = {"G.09": {"low_vent": 0.10, "high_vent": 0.05, "vent_rise": 2.8}}

# What can come out, by name; of the others the surveyor does not know it.
RELEASES = {
    "hydrogen regulator": leak("small_bore", 10), "hydrogen bench": leak("small_bore", 4),
    "nitrogen manifold": cylinders(4, 200), "acetone bench": spill(2.5),
    "toluene bench": spill(2.5), "dewar filling": dewar(15), "dewar park": dewar(15),
    "CO2 bundle": cylinders(12, 50), "hydrogen cylinders": cylinders(1, 200),
    "boiler 1 burner": burner(120), "boiler 2 burner": burner(120),
    "gas train": leak("fibre_gasket", 0.1), "boiler flue hood": burner(240),
    "compressor 1": leak("shaft_seal", 12, hole=0.1),
    "compressor 2": leak("shaft_seal", 12, hole=0.1),
    "receiver valves": leak("valve_stem", 12, hole=0.1), "incubator row": leak("small_bore", 1.5),
    "incubator island": leak("small_bore", 1.5), "ether still": spill(1),
    "hexane bench": spill(2.5), "ethanol wash": spill(5),
    "chromatograph hydrogen": leak("small_bore", 4),
    "nitrogen generator": {"kind": "flow", "rate": 3, "per": "cubic_metres_per_hour"},
    "magnet quench line": {"kind": "flow", "rate": 100, "per": "cubic_metres_per_hour"},
    "standby battery": {"kind": "battery", "cells": 60, "capacity": 200, "cell": "vented_lead",
                        "charge": "boost"},
    "nitrogen dewar": dewar(50, loss="boil_off", boil_off=0.5),
    "hydrogen bundle": cylinders(12, 200),
}
# floor, x0, y0, x1, y1, what the plan shows
FURNITURE = [
    (1, 0.8, 1.0, 3.4, 2.0, "desk"),
    (1, 4.2, 4.4, 5.4, 6.2, "seats"),
    (1, 6.3, 2.6, 9.2, 3.6, "bench"),
    (1, 10.0, 2.6, 12.6, 4.2, "bench"),
    (1, 6.3, 0.2, 9.8, 0.8, ""),
    (1, 13.3, 2.4, 16.2, 3.9, "bench"),
    (1, 17.0, 2.4, 19.7, 3.9, "bench"),
    (1, 13.3, 0.2, 19.7, 0.8, "fume cupboards"),
    (1, 20.8, 1.2, 22.6, 2.8, "filling"),
    (1, 23.6, 1.2, 25.4, 2.8, "dewars"),
    (1, 26.2, 0.5, 28.4, 1.3, "rack"),
    (1, 28.8, 0.5, 30.8, 1.3, "rack"),
    (1, 0.6, 14.4, 3.4, 15.8, "desk"),
    (1, 5.6, 13.6, 7.6, 15.8, "boiler 1"),
    (1, 8.2, 13.6, 10.2, 15.8, "boiler 2"),
    (1, 10.9, 10.6, 11.7, 12.0, "gas"),
    (1, 12.6, 14.6, 17.2, 15.8, "work bench"),
    (1, 12.6, 11.0, 13.6, 13.4, "lathe"),
    (1, 19.4, 12.2, 21.4, 13.9, "compr. 1"),
    (1, 22.4, 12.2, 24.4, 13.9, "compr. 2"),
    (1, 24.8, 15.0, 26.6, 16.2, "receiver"),
    (1, 27.4, 14.8, 30.6, 15.8, "switchgear"),
    (1, 27.6, 11.0, 28.8, 13.0, "battery"),
    (2, 1.0, 1.6, 5.6, 2.4, ""),
    (2, 1.0, 3.4, 5.6, 4.2, ""),
    (2, 7.4, 0.4, 10.6, 1.5, ""),
    (2, 10.4, 3.0, 13.0, 4.6, ""),
    (2, 14.4, 0.4, 16.6, 1.8, ""),
    (2, 17.6, 2.6, 20.6, 4.2, ""),
    (2, 20.2, 0.4, 21.8, 1.8, ""),
    (2, 22.4, 0.4, 25.0, 1.5, ""),
    (2, 26.6, 0.4, 28.6, 1.8, ""),
    (2, 29.3, 0.4, 30.7, 1.6, ""),
    (2, 0.8, 13.6, 2.6, 15.4, ""),
    (2, 3.6, 13.6, 5.4, 15.4, ""),
    (2, 6.8, 13.6, 8.6, 15.4, ""),
    (2, 9.6, 13.6, 11.4, 15.4, ""),
    (2, 13.8, 12.4, 16.2, 14.8, ""),
    (2, 17.8, 14.0, 19.2, 15.4, ""),
    (2, 21.0, 12.6, 25.0, 13.8, ""),
    (2, 27.0, 14.2, 29.8, 15.8, ""),
]


def load(normal, alarm, least=16.0):
    return {"normal": normal / 1000, "alarm": alarm / 1000, "least": least}


def detector(part, text, price, measures, principle, high, unit, normal, low=0.0):
    kind = {
        "is": "detector_device", "measures": measures, "principle": principle,
        "range_low": low, "range_high": high, "range_unit": unit, "load": load(normal, normal + 4),
    }
    return {"part": part, "description": text, "price": price, "kind": kind}


def item(part, text, price, **kind):
    return {"part": part, "description": text, "price": price, "kind": kind}


def panel(part, text, price, connections, devices, points):
    return item(
        part, text, price, **{
            "is": "panel", "connections": connections, "devices_per_connection": devices,
            "measuring_points": points, "current_per_connection": 1.0, "longest_segment_m": 800.0,
            "bus_voltage": 24.0, "bus_voltage_least": 21.6,
        })


def catalogue():
    lfl, ppm, vol = "%LFL", "ppm", "%vol"
    fuel = ["74-82-8", "natural-gas"]
    solvents = ["67-64-1", "108-88-3", "64-17-5", "60-29-7", "110-54-3", "67-56-1", "67-63-0"]
    items = [
        detector("FD-CAT-H2", "Field device, hydrogen, catalytic", 410, ["1333-74-0"],
                 "catalytic", 100.0, lfl, 60),
        detector("FD-CAT-FG", "Field device, fuel gas, catalytic", 395,
                 fuel + ["74-98-6", "106-97-8", "lpg"], "catalytic", 100.0, lfl, 60),
        detector("FD-CAT-SV", "Field device, solvent vapour, catalytic", 430, solvents,
                 "catalytic", 100.0, lfl, 60),
        detector("FD-CAT-NH3", "Field device, ammonia to LFL, catalytic", 440, ["7664-41-7"],
                 "catalytic", 100.0, lfl, 60),
        detector("FD-EC-NH3", "Field device, ammonia, electrochemical", 520, ["7664-41-7"],
                 "electrochemical", 300.0, ppm, 18),
        detector("FD-EC-CO", "Field device, carbon monoxide, electrochemical", 380, ["630-08-0"],
                 "electrochemical", 300.0, ppm, 18),
        detector("FD-EC-O2", "Field device, oxygen, electrochemical", 360, ["7782-44-7"],
                 "electrochemical", 25.0, vol, 18),
        detector("FD-IR-CO2", "Field device, carbon dioxide, infrared", 540, ["124-38-9"],
                 "infrared", 5.0, vol, 45),
        detector("FD-PID-SV", "Field device, solvent vapour, photoionisation", 980,
                 solvents, "photoionisation", 2000.0, ppm, 40),
        item("IO-4", "I/O unit, four connections", 290, **{"is": "io_unit", "ports": 4,
             "load": load(15, 90)}),
        item("SB-1", "Sounder with beacon", 165, **{"is": "sounder", "load": load(4, 55)}),
        item("RD-1", "Repeater display", 620, **{"is": "display", "load": load(45, 80)}),
        panel("CP-20", "Control panel, two connections, 20 measuring points", 1480, 2, 24, 20),
        panel("CP-64", "Control panel, six connections, 64 measuring points", 3150, 6, 32, 64),
        item("CB-075", "Two-core cable 0.75 mm²", 0.92, **{"is": "cable",
             "cross_section_mm2": 0.75, "class": "fixed"}),
        item("CB-100", "Two-core cable 1.0 mm²", 1.12, **{"is": "cable",
             "cross_section_mm2": 1.0, "class": "fixed"}),
        item("CB-150", "Two-core cable 1.5 mm²", 1.48, **{"is": "cable",
             "cross_section_mm2": 1.5, "class": "fixed"}),
        item("CB-250", "Two-core cable 2.5 mm²", 2.20, **{"is": "cable",
             "cross_section_mm2": 2.5, "class": "fixed"}),
        item("BA-12", "Battery 12 V 12 Ah", 42, **{"is": "battery", "voltage": 12.0,
             "capacity": 12.0}),
        item("BA-26", "Battery 12 V 26 Ah", 88, **{"is": "battery", "voltage": 12.0,
             "capacity": 26.0}),
    ]
    for part, text, price, goes_with, each in [
        ("AC-BOX", "Back box", 14, "field_device", 1.0),
        ("AC-GL", "Cable gland M20", 3.4, "cable_end", 1.0),
        ("AC-CAL", "Calibration adaptor", 22, "detector", 0.25),
        ("AC-LBL", "Engraved tag plate", 4.5, "field_device", 1.0),
        ("AC-SEAL", "Fire stop for a cable through a wall", 19, "wall_crossing", 1.0),
    ]:
        items.append(item(part, text, price, **{"is": "accessory", "goes_with": goes_with,
                                                "each": each}))
    return {"name": "Invented example catalogue", "currency": "€", "sample": True,
            "items": items}


def px(x, y):
    return ((x + MARGIN) * PX, (y + MARGIN) * PX)


def draw_walls(pen, rooms):
    for _, _, _, x0, y0, x1, y1, _, _ in rooms:
        for a, b in [((x0, y0), (x1, y0)), ((x1, y0), (x1, y1)), ((x1, y1), (x0, y1)),
                     ((x0, y1), (x0, y0))]:
            outer = a[0] == b[0] in (0, WIDTH) or a[1] == b[1] in (0, DEPTH)
            pen.line([px(*a), px(*b)], fill=40, width=11 if outer else 7)


def draw_doors(pen, rooms, doors):
    by_number = {room[0]: room for room in rooms}
    for number, x, width in doors:
        room = by_number[number]
        north = room[6] == 7.2
        y = 7.2 if north else 9.6
        pen.line([px(x, y), px(x + width, y)], fill=255, width=9)
        inward = -1 if north else 1
        pen.line([px(x, y), px(x, y + inward * width)], fill=120, width=2)
        (cx, cy), r = px(x, y), width * PX
        start, end = (270, 360) if north else (0, 90)
        pen.arc([cx - r, cy - r, cx + r, cy + r], start, end, fill=150, width=2)


def draw_stairs(pen):
    for step in range(15):
        x = 31.4 + 0.28 * step
        pen.line([px(x, 1.0), px(x, 3.4)], fill=160, width=2)


def draw_yard(pen):
    pen.line([px(36, 12.4), px(36, 14.8)], fill=255, width=13)
    x0, y0, x1, y1 = YARD
    for step in range(0, 44, 2):
        x = x0 + 0.1 * step
        for y in (y0, y1):
            pen.line([px(x, y), px(min(x + 0.1, x1), y)], fill=120, width=3)
    for step in range(0, 62, 2):
        y = y0 + 0.1 * step
        pen.line([px(x1, y), px(x1, min(y + 0.1, y1))], fill=120, width=3)


def sheet(floor, rooms, doors, font):
    right = YARD[2] if floor == 1 else WIDTH
    size = (round((right + 2 * MARGIN) * PX), round((DEPTH + 2 * MARGIN) * PX))
    picture = Image.new("L", size, 255)
    pen = ImageDraw.Draw(picture)
    for on, x0, y0, x1, y1, _ in FURNITURE:
        if on == floor:
            pen.rectangle([px(x0, y0), px(x1, y1)], outline=170, width=2)
    draw_stairs(pen)
    draw_walls(pen, rooms)
    draw_doors(pen, rooms, doors)
    if floor == 1:
        draw_yard(pen)
    face = ImageFont.truetype(font, 14)
    for on, x0, y0, x1, y1, what in FURNITURE:
        if on == floor and what:
            pen.text(px((x0 + x1) / 2, (y0 + y1) / 2), what, fill=150, font=face, anchor="mm")
    data = io.BytesIO()
    picture.quantize(16).save(data, "PNG", optimize=True)
    return data.getvalue(), size


def floors(font):
    out, sheets = [], {}
    levels = [(1, "Ground floor", 0.0, GROUND, DOORS_GROUND),
              (2, "First floor", 4.8, FIRST, DOORS_FIRST)]
    for id, name, elevation, rooms, doors in levels:
        data, size = sheet(id, rooms, doors, font)
        image = hashlib.sha256(data).hexdigest()
        sheets[image] = base64.b64encode(data).decode()
        a, b = px(0, DEPTH), px(WIDTH, DEPTH)
        out.append({"id": id, "name": name, "elevation": elevation, "sheet": {
            "image": image, "name": f"{name}.png".lower().replace(" ", "-"), "page": 1,
            "width_px": size[0], "height_px": size[1],
            "scale": {"a": list(a), "b": list(b), "length": WIDTH}, "rotation": 0.0,
            "origin": [-MARGIN, -MARGIN], "fade": 0.55}})
    return out, sheets


def drawn_rooms():
    id, rooms = 0, []
    for floor, listed in [(1, GROUND), (2, FIRST)]:
        for number, name, use, x0, y0, x1, y1, ceiling, changes in listed:
            id += 1
            rooms.append({"id": id, "floor": floor, "number": number, "name": name,
                          "room_use": use, "enclosure": "enclosed",
                          "outline": [[x0, y0], [x1, y0], [x1, y1], [x0, y1]],
                          "ceiling": ceiling, "air_changes": changes})
            if number in FEATURES:
                rooms[-1]["features"] = FEATURES[number]
    id += 1
    rooms.append({"id": id, "floor": 1, "number": "G.14", "name": "Gas yard", "room_use": "outdoor",
                  "enclosure": "outdoor", "outline": [[YARD[0], YARD[1]], [YARD[2], YARD[1]],
                                                      [YARD[2], YARD[3]], [YARD[0], YARD[3]]],
                  "ceiling": None, "air_changes": None})
    return rooms


def drawn_openings():
    id, openings = 0, []
    for floor, rooms, doors in [(1, GROUND, DOORS_GROUND), (2, FIRST, DOORS_FIRST)]:
        by_number = {room[0]: room for room in rooms}
        for number, x, width in doors:
            id += 1
            y = 7.2 if by_number[number][6] == 7.2 else 9.6
            openings.append({"id": id, "floor": floor, "a": [x, y], "b": [x + width, y],
                             "form": "door", "head": 2.1})
    openings.append({"id": id + 1, "floor": 1, "a": [36, 12.4], "b": [36, 14.8], "form": "door",
                     "head": 2.6})
    return openings


def drawn_sources():
    sources = []
    yard = [(1, "hydrogen bundle", 38.2, 12.0, 1.4, "1333-74-0", "gas")]
    for id, (floor, name, x, y, height, key, holding) in enumerate(SOURCES + yard, 1):
        sources.append({"id": id, "floor": floor, "name": name, "at": [x, y],
                        "height": None if name in UNKNOWN_HEIGHT else height, "substance": key,
                        "holding": None if name in UNKNOWN_HOLDING else holding,
                        "release": RELEASES.get(name)})
    return sources


def placed_devices():
    listed = [
        ("UI-1", 1, 0.1, 12.4, 1.5, "RD-1"),
        ("XA-201", 1, 9.5, 7.3, 2.4, "SB-1"), ("XA-202", 1, 16.0, 7.3, 2.4, "SB-1"),
        ("XA-203", 1, 24.0, 7.3, 2.4, "SB-1"), ("XA-204", 1, 7.4, 9.5, 2.4, "SB-1"),
        ("XA-205", 1, 24.4, 9.5, 2.4, "SB-1"), ("XA-206", 1, 18.1, 11.2, 2.8, "SB-1"),
        ("XA-207", 2, 10.4, 7.3, 2.4, "SB-1"), ("XA-208", 2, 21.4, 7.3, 2.4, "SB-1"),
        ("XA-209", 2, 15.6, 9.5, 2.4, "SB-1"), ("XA-210", 2, 29.4, 9.5, 2.4, "SB-1"),
        ("UY-1", 1, 11.9, 12.6, 1.5, "IO-4"), ("UY-2", 1, 26.9, 11.0, 1.5, "IO-4"),
        ("UY-3", 1, 12.9, 6.6, 1.5, "IO-4"), ("UY-4", 2, 21.9, 6.4, 1.5, "IO-4"),
    ]
    return [{"id": id, "tag": tag, "floor": floor, "at": [x, y], "height": height, "part": part,
             "detectors": [], "existing": False}
            for id, (tag, floor, x, y, height, part) in enumerate(listed, 1)]


def project(font):
    levels, sheets = floors(font)
    value = {
        "head": {"name": "Research building, example", "client": "An invented institute",
                 "site": "North campus, building 4", "reference": "EX-001", "revision": "P1",
                 "jurisdiction": "eu", "units": "metric"},
        # The designer's decision: laboratories are watched at their sources alone.
        "basis": {"area_laboratory": 0.0}, "catalogue": catalogue(), "floors": levels, "rooms": drawn_rooms(),
        "barriers": [
            {"id": 1, "floor": 1, "line": [[16.5, 2.2], [16.5, 4.1]], "height": 1.8},
            {"id": 2, "floor": 1, "line": [[23.0, 0.0], [23.0, 3.6]], "height": None},
            {"id": 3, "floor": 2, "line": [[16.9, 11.6], [16.9, 17.0]], "height": None},
        ],
        "openings": drawn_openings(), "sources": drawn_sources(), "detectors": [],
        "devices": placed_devices(),
        "panels": [
            {"id": 1, "tag": "CP-1", "floor": 1, "at": [0.1, 10.6], "height": 1.5, "part": "CP-64",
             "existing": False},
            {"id": 2, "tag": "CP-2", "floor": 2, "at": [31.1, 10.4], "height": 1.5,
             "part": "CP-20", "existing": False},
        ],
        "containments": [
            {"id": 1, "floor": 1, "kind": "tray", "line": [[0.8, 8.4], [35.2, 8.4]],
             "height": 2.6},
            {"id": 2, "floor": 2, "kind": "tray", "line": [[0.8, 8.4], [35.2, 8.4]],
             "height": 2.6},
        ],
        "risers": [{"id": 1, "name": "Riser by the stair", "at": [31.5, 8.4], "lowest": 1,
                    "highest": 2}],
        "segments": [],
    }
    return {"format": "brattice-project", "version": 1, "project": value, "sheets": sheets}


if __name__ == "__main__":
    json.dump(project(sys.argv[1]), sys.stdout, indent=2, ensure_ascii=False)
    print()
