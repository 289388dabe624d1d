"""Works out again by pvlib what the core has worked out of the sun, and prints the worst differences."""

import json
import pathlib
import sys

import numpy as np
import pandas as pd
from pvlib import irradiance, solarposition

folder = pathlib.Path(sys.argv[1])
failed = []


def read(name):
    return pd.DataFrame(json.loads((folder / name).read_text(encoding="utf-8")))


def compare(what, ours, theirs, within, unit):
    worst = float(np.max(np.abs(np.asarray(ours) - np.asarray(theirs))))
    print(f"{what:58} {len(ours):5} cases, worst difference {worst:.3g} {unit} (held to {within:g})")
    if not worst <= within:
        failed.append(what)


sky = read("skies.json")
lat, turn = np.radians(sky.lat_deg), np.radians((sky.hour - 12) * 15)
declination = solarposition.declination_spencer71(sky.day)
compare("declination, Spencer", sky.declination_rad, declination, 1e-9, "rad")
# The book that the core follows prints two of Spencer's constants otherwise than the library; they differ by 1.6 seconds.
compare("equation of time, Spencer", sky.equation_of_time_min, solarposition.equation_of_time_spencer71(sky.day), 0.03, "min")
extra = irradiance.get_extra_radiation(sky.day, solar_constant=1361.0, method="spencer")
compare("irradiance above the atmosphere", sky.extra_w_m2, extra, 1e-6, "W/m2")
zenith = solarposition.solar_zenith_analytical(lat, turn, declination)
compare("cosine of zenith", sky.cos_zenith, np.cos(zenith), 1e-9, "")

# A day above the atmosphere: a fine sum of the library's zenith against the closed form.
steps = np.radians((np.arange(14400) + 0.5) / 14400 * 360 - 180)
days = [
    np.mean(np.maximum(np.cos(solarposition.solar_zenith_analytical(np.radians(row.lat_deg), steps, d)), 0)) * 24 * e
    for (_, row), d, e in zip(sky.iterrows(), declination, extra)
]
compare("a day above the atmosphere, fine sum", sky.day_wh_m2 / np.maximum(days, 1), np.ones(len(days)), 1e-5, "of it")

up = sky[sky.cos_zenith > 0.07]
parts = irradiance.erbs(up.global_w_m2, np.degrees(zenith[up.index]), up.day)
# The library's own extraterrestrial constant is 1366.1 W/m2 in this function, ours 1361: the clearness differs by 0.4 %.
same = irradiance.erbs(up.global_w_m2 * 1366.1 / 1361.0, np.degrees(zenith[up.index]), up.day)
compare("diffuse share of an hour, Erbs", up.diffuse_w_m2 / up.global_w_m2, same["dhi"] / (up.global_w_m2 * 1366.1 / 1361.0), 2e-4, "")
print(f"{'':58} (at the library's own solar constant: {np.max(np.abs(parts['dhi'] - up.diffuse_w_m2)):.3g} W/m2)")

azimuth = np.degrees(solarposition.solar_azimuth_analytical(lat, turn, declination, zenith))
facing = irradiance.aoi_projection(sky.tilt_deg, sky.facing_deg, np.degrees(zenith), azimuth)
compare("cosine of incidence on a plane", sky.cos_incidence, facing, 1e-7, "")
beam = (up.global_w_m2 - up.diffuse_w_m2) / up.cos_zenith
tilted = (
    beam * np.maximum(facing[up.index], 0)
    + irradiance.isotropic(up.tilt_deg, up.diffuse_w_m2)
    + irradiance.get_ground_diffuse(up.tilt_deg, up.global_w_m2, up.albedo)
)
compare("irradiance on a tilted plane, isotropic sky", up.tilted_w_m2, tilted, 1e-4, "W/m2")

where = read("positions.json")
times = pd.to_datetime("2023-01-01") + pd.to_timedelta(where.day - 1, "D") + pd.to_timedelta(where.hour, "h")
spa = [
    solarposition.get_solarposition(pd.DatetimeIndex([time], tz="UTC"), row.lat_deg, 0.0, method="nrel_numpy").zenith.iloc[0]
    for time, (_, row) in zip(times, where.iterrows())
]
ours = np.degrees(np.arccos(np.clip(where.cos_zenith, -1, 1)))
compare("zenith against the full position algorithm, 2023", ours, spa, 0.2, "deg")

hours = read("hours.json")
fine = []
for _, row in hours.iterrows():
    # 600 moments an hour; the sun's side of the horizon and of the plane each count where they are seen.
    moments = np.radians(((np.arange(14400) + 0.5) / 600 - 12) * 15)
    z = solarposition.solar_zenith_analytical(np.radians(row.lat_deg), moments, row.declination_rad)
    a = np.degrees(solarposition.solar_azimuth_analytical(np.radians(row.lat_deg), moments, row.declination_rad, z))
    on_flat = np.maximum(np.cos(z), 0)
    on_plane = np.where(on_flat > 0, np.maximum(irradiance.aoi_projection(row.tilt_deg, row.facing_deg, np.degrees(z), a), 0), 0)
    flat, plane = on_flat.reshape(24, 600).sum(1), on_plane.reshape(24, 600).sum(1)
    # A sun that only just looks over the horizon is too short for the sum, not for the closed form.
    fine.append(np.where(flat > 12, np.minimum(plane / np.maximum(flat, 1e-12), 19.1073), np.nan))
ours, fine = np.concatenate(hours.beam_ratio.to_list()), np.concatenate(fine)
lit = ~np.isnan(fine)
size = np.maximum(fine[lit], 1)
compare("beam ratio of an hour, fine sum", ours[lit] / size, fine[lit] / size, 0.002, "of it")

if failed:
    sys.exit("differs: " + ", ".join(failed))
