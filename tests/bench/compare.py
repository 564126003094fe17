#!/usr/bin/python3
# compare.py PROGRAM: the same models written with numpy and scipy, from the equations of
# docs/theory.md and without a line of ours: their answers beside the program's, and the time that
# each takes in the same run. SPDX-License-Identifier: MIT
import csv
import io
import os
import resource
import subprocess
import sys
import time

import numpy as np
import scipy.integrate
import scipy.linalg
import scipy.optimize
import scipy.sparse as sp
import scipy.sparse.linalg as spl

R, GAMMA, AMBIENT, T0, G0 = 287.053, 1.4, 101325.0, 293.15, 9.80665
FOLDER = "build/bench"


# --- ours -------------------------------------------------------------------------------------


def ours(program, name, *words):
    """Rows of a command's CSV, and processor seconds of the whole process."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    out = subprocess.run([program, words[0], f"{FOLDER}/{name}.air", "--as", "csv", "--units",
                          "si", *words[1:]], check=True, stdout=subprocess.PIPE, text=True).stdout
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    took = after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime
    return list(csv.DictReader(io.StringIO(out))), took


def figure(rows, quantity, level=""):
    return {r["subject"]: float(r["value"]) for r in rows
            if r["quantity"] == quantity and r["level"] == level}


# --- the model: springs of constant area, tanks, restrictors by bore ----------------------------


class Net:
    """Corners (name, x, y, load kg, area, volume, height), tanks (name, volume), paths (name,
    from, to, bore); nodes are the springs, one a corner, then the tanks."""

    def __init__(self, corners, tanks, paths):
        self.corners, self.tanks, self.paths = corners, tanks, paths
        self.x, self.y, self.load = (np.array([c[k] for c in corners]) for k in (1, 2, 3))
        self.load = self.load * G0
        self.area, self.v0, self.h0 = (np.array([c[k] for c in corners]) for k in (4, 5, 6))
        self.tank_volume = np.array([t[1] for t in tanks])
        number = {c[0].lower(): k for k, c in enumerate(corners)}
        number.update({t[0]: len(corners) + k for k, t in enumerate(tanks)})
        self.ends = np.array([[number[p[1]], number[p[2]]] for p in paths])
        self.bore = np.array([p[3] for p in paths])
        self.springs, self.nodes = len(corners), len(corners) + len(tanks)

    def text(self):
        lines = ["gas adiabatic"]
        for n, x, y, load, area, volume, height in self.corners:
            lines += [f"corner {n} at {x} m {y} m load {load} kg",
                      f"profile p{n} area {area * 1e4:.12g} cm2 volume {volume * 1e3:.12g} L "
                      f"at {height * 1e3:.12g} mm",
                      f"spring {n.lower()} on {n} profile p{n} height {height * 1e3:.12g} mm"]
        lines += [f"tank {n} volume {v * 1e3:.12g} L" for n, v in self.tanks]
        lines += [f"restrictor {n} from {a} to {b} bore {d * 1e3:.12g} mm"
                  for n, a, b, d in self.paths]
        return "\n".join(lines) + "\n"

    def groups(self):
        link = sp.coo_matrix((np.ones(len(self.paths)), self.ends.T), (self.nodes, self.nodes))
        return sp.csgraph.connected_components(link, directed=False)

    def stand(self):
        """Each spring filled alone, tanks at their group's mean; then the body settles with each
        group's air kept, isothermal (theory: charge, equilibrium)."""
        count, of = self.groups()
        n = self.springs
        alone = AMBIENT + self.load / self.area
        weight = np.bincount(of[:n], self.v0, count)
        mean = np.bincount(of[:n], alone * self.v0, count) / weight
        tanks = np.bincount(of[n:], self.tank_volume, count)
        air = mean * (weight + tanks)  # p V of each group
        modes = [np.ones(n)] + [c for c in (self.x, self.y) if np.ptp(c) > 0]
        B = np.array(modes).T

        def miss(u):
            volume = self.v0 + self.area * (B @ u)
            p = air / (tanks + np.bincount(of[:n], volume, count))
            return B.T @ ((p[of[:n]] - AMBIENT) * self.area - self.load) / self.load[0]

        u = scipy.optimize.fsolve(miss, np.zeros(len(modes)), xtol=1e-14)
        self.height = self.h0 + B @ u
        self.volume = np.append(self.v0 + self.area * (B @ u), self.tank_volume)
        self.p = (air / np.bincount(of, self.volume, count))[of]
        self.group = of

    def stiffness(self):
        """K_ij = n p_g A_i B_j / V_g in a group (theory: settled stiffness); with each spring its
        own group, instant."""
        n = self.springs
        V = np.bincount(self.group, self.volume)[self.group[:n]]
        same = self.group[:n, None] == self.group[None, :n]
        AB = np.outer(self.area, self.area)
        p = self.p[:n, None]
        return (GAMMA * p * AB / V[:, None] * same,
                np.diag(GAMMA * self.p[:n] * self.area**2 / self.volume[:n]))

    def shapes(self):
        """Heave, roll and pitch about the centre of gravity, and what is orthogonal to them; bump
        positive, the largest travel one."""
        x, y = (c - np.average(c, weights=self.load) for c in (self.x, self.y))
        all_ = {"heave": np.ones(self.springs)}
        if np.ptp(y) > 0:
            all_["roll"] = y
        if np.ptp(x) > 0:
            all_["pitch"] = x
        B = np.array(list(all_.values())).T
        rest = scipy.linalg.null_space(B.T)
        if rest.shape[1] == 1:
            all_["warp"] = rest[:, 0]
        return {k: v / np.abs(v).max() for k, v in all_.items()}


# --- restrictors --------------------------------------------------------------------------------

CRITICAL = (2 / (GAMMA + 1)) ** (GAMMA / (GAMMA - 1))
ZONE = 1e-6


def nozzle(y):
    """Isentropic flow over the choked one, and its slope, y = drop over the drop that chokes."""
    r = 1 - (1 - CRITICAL) * y
    psi = np.sqrt(2 * GAMMA / (GAMMA - 1) * (r ** (2 / GAMMA) - r ** ((GAMMA + 1) / GAMMA)))
    choked = np.sqrt(GAMMA * (2 / (GAMMA + 1)) ** ((GAMMA + 1) / (GAMMA - 1)))
    return psi / choked


STEP = 1e-4 * ZONE
EDGE = float(nozzle(ZONE))
EDGE_SLOPE = float((nozzle(ZONE + STEP) - nozzle(ZONE - STEP)) / (2 * STEP))


def mass_flow(bore, p1, p2, T_up):
    """kg/s from p1 to p2, cd 0.8; near no flow the odd cubic of theory.md."""
    up, down = np.maximum(p1, p2), np.minimum(p1, p2)
    y = np.minimum((up - down) / up / (1 - CRITICAL), 1.0)
    chord = EDGE / ZONE
    cubic = 0.5 * (3 * chord - EDGE_SLOPE) * y + 0.5 * (EDGE_SLOPE - chord) * y * (y / ZONE) ** 2
    psi = np.where(y < ZONE, cubic, nozzle(np.maximum(y, ZONE)))
    choked = np.sqrt(GAMMA * (2 / (GAMMA + 1)) ** ((GAMMA + 1) / (GAMMA - 1)))
    return np.sign(p1 - p2) * 0.8 * np.pi / 4 * bore**2 * up * choked / np.sqrt(R * T_up) * psi


# Gauss-Legendre in phi with sin(wt) = sin^2(phi): smooth where the flow starts with a root.
NODE, PART = np.polynomial.legendre.leggauss(24)
PHI = np.pi / 4 * (NODE + 1)
SINE = np.sin(PHI) ** 2
PART = np.pi / 4 * PART * 2 * np.sin(PHI) / np.sqrt(1 + SINE)


def harmonic(bore, p, swing):
    """First harmonic of the flow over the amplitude of the difference."""
    swing = np.maximum(swing, 1e-11 * p)[:, None]
    half = 0.5 * swing * SINE
    q = mass_flow(bore[:, None], p[:, None] + half, p[:, None] - half, T0)
    return 4 / np.pi * (q * SINE) @ PART / swing[:, 0]


# --- linear answers -----------------------------------------------------------------------------


def conduct(net, G):
    a, b = net.ends.T
    return sp.csc_matrix((np.concatenate([G, G, -G, -G]),
                          (np.concatenate([a, b, a, b]), np.concatenate([a, b, b, a]))),
                         (net.nodes, net.nodes))


def swing(net, shape, amplitude, frequency, tolerance=1e-8):
    """Pressures per metre and conductances that agree with them, worked up to from small swings;
    v'Kv/v'v (theory: any frequency, finite swing)."""
    n, a, b = net.springs, *net.ends.T
    s = 2j * np.pi * frequency
    C = sp.diags(s * net.volume / (GAMMA * R * T0)).tocsc()
    right = np.zeros(net.nodes, complex)
    right[:n] = s * net.p[:n] / (R * T0) * net.area * shape
    p = net.p[a]
    G = harmonic(net.bore, p, 0 * p)
    for part in (0.01, 0.1, 1.0):
        for _ in range(400):
            dp = spl.spsolve(C + conduct(net, G), right)
            drop = np.abs(dp[a] - dp[b])
            new = harmonic(net.bore, p, part * amplitude * drop)
            weight = drop / (drop + 1e-6 * np.abs(dp).max())
            miss = np.max(np.abs(new / G - 1) * weight)
            G = G * (new / G) ** 1.3
            if miss < (tolerance if part == 1.0 else 0.1):
                break
    K = shape @ (net.area * dp[:n]) / (shape @ shape)
    return K, G, G * drop


def constants(net, wanted):
    """1/lambda of G x = lambda C x, each path by the motion in which it carries most."""
    best, G = np.zeros(len(net.paths)), np.zeros(len(net.paths))
    for shape in net.shapes().values():
        _, g, q = swing(net, shape, 0.01, 1.0)
        G = np.where(q > best * (1 + 1e-9), g, G)
        best = np.maximum(best, q)
    C = sp.diags(net.volume / (GAMMA * R * T0)).tocsc()
    A = conduct(net, G)
    if net.nodes <= 200:
        values = scipy.linalg.eigh(A.toarray(), C.toarray(), eigvals_only=True)
    else:
        values = spl.eigsh(A, wanted + net.group.max() + 1, C, sigma=-1e-3, tol=1e-12,
                           return_eigenvectors=False)
    values = np.sort(values)
    return 1 / values[values > 1e-6 * values.max()][:wanted]


# --- events -------------------------------------------------------------------------------------


def row_text(tanks, until):
    lines = ["gas adiabatic"]
    for k in range(tanks):
        lines.append(f"tank t{k} volume 1 L pressure 5 bar")
        if k:
            lines.append(f"restrictor r{k} from t{k - 1} to t{k} bore 6 mm")
    return "\n".join(lines) + ("\nsolenoid v from t0 to atmosphere normally closed bore 4 mm\n"
                               f"state shut shut v\nevent e in shut at 0 s open v until {until} s\n")


def row_event(tanks, until):
    """Gauge pressures at the end. Mass and energy of each tank (theory: events): dm/dt = sum q, dU/dt = sum q cp T upstream."""
    cv = R / (GAMMA - 1)
    cp, V = GAMMA * cv, 1e-3
    start = AMBIENT + 5e5
    scale = np.array([start * V / (R * T0), start * V / (GAMMA - 1)])
    bore = np.append(np.full(tanks - 1, 6e-3), 4e-3)

    def rate(_, z):
        m, U = (z.reshape(tanks, 2) * scale).T
        p, T = (GAMMA - 1) * U / V, U / (m * cv)
        p1, T1 = np.append(p[:-1], p[0]), np.append(T[:-1], T[0])
        p2, T2 = np.append(p[1:], AMBIENT), np.append(T[1:], T0)
        T_up = np.where(p1 >= p2, T1, T2)
        q = mass_flow(bore, p1, p2, T_up)
        e = q * cp * T_up
        d = np.zeros((tanks, 2))
        for k, flow in enumerate((q, e)):
            d[:-1, k] -= flow[:-1]
            d[1:, k] += flow[:-1]
            d[0, k] -= flow[-1]
        return (d / scale).ravel()

    answer = scipy.integrate.solve_ivp(rate, (0, until), np.ones(2 * tanks), method="LSODA",
                                       rtol=1e-8, atol=1e-10, lband=3, uband=3)
    return (GAMMA - 1) * answer.y[1::2, -1] * scale[1] / V - AMBIENT


# --- the comparison -----------------------------------------------------------------------------

CAMPER = Net([("FL", 1.31, 0.77, 371, 71e-4, 1.4e-3, 0.16),
              ("FR", 1.31, -0.77, 359, 71e-4, 1.4e-3, 0.16),
              ("RL", -1.62, 0.81, 445, 83e-4, 1.9e-3, 0.17),
              ("RR", -1.62, -0.81, 431, 83e-4, 1.9e-3, 0.17)],
             [("tfl", 2.5e-3), ("tfr", 2.1e-3), ("trl", 4.2e-3), ("trr", 3.9e-3)],
             [("gfl", "fl", "tfl", 7e-3), ("gfr", "fr", "tfr", 6.5e-3),
              ("grl", "rl", "trl", 9e-3), ("grr", "rr", "trr", 8.5e-3),
              ("cross", "trl", "trr", 5e-3)])


def chain(tanks):
    names = ["l"] + [f"t{k}" for k in range(tanks)]
    return Net([("L", 0.0, 0.8, 500, 90e-4, 2e-3, 0.15), ("R", 0.0, -0.7, 450, 90e-4, 2e-3, 0.15)],
               [(n, 0.05e-3 + 0.01e-3 * (k % 3)) for k, n in enumerate(names[1:])],
               [(f"r{k}", names[k], names[k + 1], 8e-3) for k in range(tanks)])


def timed(work, *arguments):
    start = time.process_time()
    answer = work(*arguments)
    return answer, time.process_time() - start


def row(what, our_time, their_time, apart, allowed):
    fine = "ok" if apart <= allowed else "APART"
    print(f"| {what} | {our_time:.3g} s | {their_time:.3g} s | {their_time / our_time:.3g} | "
          f"{apart:.1e} (at most {allowed:.0e}) | {fine} |", flush=True)
    return apart <= allowed


def apart(a, b):
    a, b = np.asarray(a, float), np.asarray(b, float)
    return float(np.max(np.abs(a - b)) / np.max(np.abs(b)))


def same_rates(program, what, name, net):
    rows, took = ours(program, name, "rates")
    (settled, instant), their = timed(lambda: (net.stand(), net.stiffness())[1])
    n = [c[0] for c in net.corners]
    worst = max(apart([figure(rows, "stiffness", level)[f"{a}/{b}"] for a in n for b in n],
                      K.ravel()) for level, K in (("settled", settled), ("instant", instant)))
    worst = max(worst, apart([figure(rows, "height")[a.lower()] for a in n], net.height))
    return row(f"{what}: equilibrium and stiffness", took, their, worst, 1e-7)


def same_response(program, what, name, net, points):
    rows, took = ours(program, name, "response", "--motion", "heave", "--points", str(points),
                      "--from", "0.5Hz", "--to", "20Hz")
    shape = np.ones(net.springs)
    frequency = [float(r["frequency [Hz]"]) for r in rows]
    K, their = timed(lambda: np.array([swing(net, shape, 0.01, f)[0] for f in frequency]))
    worst = apart([[float(r["storage [N/m]"]), float(r["loss [N/m]"])] for r in rows],
                  np.stack([K.real, K.imag], 1))
    return row(f"{what}: response of heave at {points} frequencies", took, their, worst, 1e-5)


def same_constants(program, what, name, net, wanted):
    with open(f"{FOLDER}/{name}.air", "a") as out:
        out.writelines(f"require time_constant of {k + 1} above 0 s\n" for k in range(wanted))
    rows, took = ours(program, name, "check")
    values, their = timed(constants, net, wanted)
    got = np.array(list(figure(rows, "time_constant").values()))
    return row(f"{what}: the {len(got)} slowest time constants", took, their,
               float(np.max(np.abs(got / values - 1))), 1e-5)


def same_event(program, tanks, until):
    name = f"row-{tanks}"
    with open(f"{FOLDER}/{name}.air", "w") as out:
        out.write(row_text(tanks, until))
    rows, took = ours(program, name, "play", "--points", "3")
    end, their = timed(row_event, tanks, until)
    got = [float(rows[-1][f"t{k}.gauge_pressure [Pa]"]) for k in range(tanks)]
    return row(f"{tanks} tanks in a row, emptied for {until} s", took, their, apart(got, end), 5e-4)


def main():
    program = sys.argv[1]
    os.makedirs(FOLDER, exist_ok=True)
    print("\n## Beside general-purpose Python\n\nThe same models written with numpy "
          f"{np.__version__} and scipy {__import__('scipy').__version__} from the equations of\n"
          "[Theory](theory.md) alone (`tests/bench/compare.py`): an outside check of the answers "
          "by another's solvers,\nand the processor time of each in one run. Ours is a whole "
          "process, with start-up, reading and all that\nits command answers beside; theirs is the "
          "computation alone. Events are\nintegrated to 1e-5 a step.\n\n"
          "| what | ours | Python | times ours | largest difference | |\n"
          "| --- | ---: | ---: | ---: | ---: | --- |")
    fine = True
    large = 3000
    for what, name, net, points, wanted in (("four corners", "four", CAMPER, 9, 5),
                                            (f"a chain of {large} tanks", "chain", chain(large),
                                             3, 8)):
        with open(f"{FOLDER}/{name}.air", "w") as out:
            out.write(net.text())
        fine &= same_rates(program, what, name, net)
        fine &= same_response(program, what, name, net, points)
        fine &= same_constants(program, what, name, net, wanted)
    fine &= same_event(program, 3, 0.7)
    fine &= same_event(program, 100, 5)
    sys.exit(0 if fine else 1)


if __name__ == "__main__":
    main()
