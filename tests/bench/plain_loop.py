#!/usr/bin/python3
"""What a designer would write without this program: one year, hour by hour, over NumPy arrays.

The same simplified equations as the batch's plain case: a battery as a store of energy with charge and discharge
efficiency, floor, charge limit and self-discharge; an inverter with idle, proportional and square loss; a
controller; a pump by its energy per m3 of water; a generator called and released by levels of the battery that
carries the loads and charges. An hour is one step: what happens within it is lost.

Prints processor seconds a year (best of three), the year's generator hours and the energy through the battery.
"""
import json
import time

import numpy as np

HOURS = 8760


def made_year():
    """Sun, loads and water of an invented year."""
    hour = np.arange(HOURS)
    day = hour // 24
    season = 1 - 0.55 * np.cos(2 * np.pi * (day - 172) / 365 + np.pi)
    draw = np.random.default_rng(1)
    clear = draw.uniform(0.15, 1, 365)[day]
    array_w = np.maximum(0, np.sin((hour % 24 - 6) / 12 * np.pi)) * 1000 * season * clear
    load_w = np.full(HOURS, 72.5)
    water_m3 = np.where((hour % 24 >= 6) & (hour % 24 < 22), 0.852 / 16, 0)
    return array_w, load_w, water_m3


def run(array_w, load_w, water_m3):
    capacity, floor, charge_eff, discharge_eff = 10.2, 0.1, 0.97, 0.97
    charge_limit_kw, keep = 5.0, np.exp(-4.2e-5)
    rated, idle, k1, k2 = 6000.0, 45.0, 0.03, 0.04
    controller_eff, controller_limit, standby = 0.96, 1800.0, 5.0
    pump_wh_m3, pump_m3_h = 620.0, 2.0
    transfer_below, return_above, charger_w, charger_eff = 0.25, 0.8, 1800.0, 0.93
    gen_rated, fuel_a, fuel_b = 7000.0, 0.14, 0.54

    soc = np.zeros(HOURS)
    generator_w = np.zeros(HOURS)
    unserved_w = np.zeros(HOURS)
    curtailed_w = np.zeros(HOURS)
    stored, on_generator, run_h, fuel_l, out_kwh = 0.9 * capacity, False, 0, 0.0, 0.0
    for h in range(HOURS):
        if on_generator and stored >= return_above * capacity:
            on_generator = False
        elif not on_generator and stored <= transfer_below * capacity:
            on_generator = True
        pump_w = water_m3[h] * pump_wh_m3
        ac = load_w[h] + pump_w
        sun = min(array_w[h] * controller_eff, controller_limit)
        if on_generator:
            charge = min(charger_w, (gen_rated - ac) * charger_eff)
            dc = standby
            generator_w[h] = ac + charge / charger_eff
            run_h += 1
            fuel_l += fuel_a * gen_rated / 1e3 + fuel_b * generator_w[h] / 1e3
        else:
            charge = 0.0
            dc = standby + idle + ac * (1 + k1 + k2 * ac / rated)
        net_kw = (sun + charge - dc) / 1e3
        stored *= keep
        if net_kw >= 0:
            into = min(net_kw, charge_limit_kw, (capacity - stored) / charge_eff)
            stored += into * charge_eff
            curtailed_w[h] = (net_kw - into) * 1e3
        else:
            room = max(stored - floor * capacity, 0.0) * discharge_eff
            out = min(-net_kw, room)
            stored -= out / discharge_eff
            out_kwh += out
            unserved_w[h] = (-net_kw - out) * 1e3
        soc[h] = stored / capacity
    return run_h, out_kwh, soc.min()


def main():
    year = made_year()
    best = float("inf")
    for _ in range(3):
        begin = time.process_time()
        run_h, out_kwh, _ = run(*year)
        best = min(best, time.process_time() - begin)
    print(json.dumps({"seconds_a_year": best, "generator_run_h": run_h, "battery_out_kwh": out_kwh}))


if __name__ == "__main__":
    main()
