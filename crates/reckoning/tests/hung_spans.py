"""Hangs ropes with MoorPy: from the unstretched lengths between loads to where each load comes to rest and the end tensions.

Standard input: one rope a line, "span rise kg_per_m EA n  mass_1..mass_n  length_1..length_(n+1)".
Standard output: one rope a line, "x_1 z_1 .. x_n z_n  tension_left tension_right", metres and newtons from the left end.
"""

import contextlib
import io
import sys

import moorpy
import numpy as np

FAR_FROM_THE_GROUND = -500.0


def hang(span, rise, kg_per_m, ea, masses, lengths):
    system = moorpy.System(depth=1000.0, rho=1025.0, g=9.80665)
    rope = dict(
        name="rope", d_vol=0.0, d_nom=0.0, m=kg_per_m, w=kg_per_m * 9.80665, EA=ea, material="rope",
        Cd=0.0, CdAx=0.0, Ca=0.0, CaAx=0.0,
    )
    # A rough guess that owes nothing to the answer: a parabola of a tenth of the span, loads evenly spaced.
    n = len(masses)
    system.addPoint(1, [0.0, 0.0, FAR_FROM_THE_GROUND])
    for k, mass in enumerate(masses, 1):
        t = k / (n + 1)
        z = FAR_FROM_THE_GROUND + rise * t - 0.4 * span * t * (1 - t)
        system.addPoint(0, [span * t, 0.0, z], m=mass, v=0.0, DOFs=[0, 2])
    system.addPoint(1, [span, 0.0, FAR_FROM_THE_GROUND + rise])
    for k, length in enumerate(lengths, 1):
        system.addLine(length, rope, pointA=k, pointB=k + 1)
    system.initialize()
    if n:
        for tolerance in (1e-2, 1e-4):
            system.solveEquilibrium(tol=tolerance, maxIter=400)
    found = []
    for point in system.pointList[1:-1]:
        found += [point.r[0], point.r[2] - FAR_FROM_THE_GROUND]
    left = np.linalg.norm(system.pointList[0].getForces(xyz=True))
    right = np.linalg.norm(system.pointList[-1].getForces(xyz=True))
    return [*found, left, right]


for line in sys.stdin:
    values = [float(word) for word in line.split()]
    if not values:
        continue
    span, rise, kg_per_m, ea = values[:4]
    n = int(values[4])
    with contextlib.redirect_stdout(io.StringIO()):
        result = hang(span, rise, kg_per_m, ea, values[5 : 5 + n], values[5 + n :])
    print(*result)
