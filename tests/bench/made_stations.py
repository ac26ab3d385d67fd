"""Weather files of invented places, for benchmarks: seeded climates between 25 and 60 degrees of latitude, half of them EPW and half
TMY3. No figure of them is measured, and each file says so."""
import pathlib
import random
import subprocess
import tempfile

states = ["Northland", "Eastland", "Southland", "Westland", "Highland"]


def made(program, number, folder):
    """A plain file of `weather --make`; its site and its hours."""
    r = random.Random(number)
    latitude, longitude = r.uniform(25, 60), r.uniform(-124, -68)
    elevation, cloudy = max(0, r.gauss(500, 500)), r.uniform(0, 1)
    coldness = (latitude - 25) / 35
    clearness = [round(min(0.7, max(0.28, 0.62 - 0.2 * cloudy - 0.12 * coldness * (1 + c) / 2)), 3)
                 for c in (1, 0.9, 0.5, 0, -0.4, -0.7, -0.9, -0.8, -0.4, 0.2, 0.7, 1)]
    mean = 24 - 22 * coldness - 0.0055 * elevation
    temperature = [round(mean - (4 + 12 * coldness) * c, 1) for c in (1, 0.9, 0.5, 0, -0.5, -0.9, -1, -0.9, -0.5, 0, 0.5, 0.9)]
    path = folder / "made.csv"
    subprocess.run([program, "weather", "--make", "--place", f"Station {number}", f"--latitude={latitude:.2f}",
                    f"--longitude={longitude:.2f}", f"--elevation-m={elevation:.0f}", f"--utc-offset-h={round(longitude / 15)}",
                    "--seed", str(number + 1), "--clearness", *map(str, clearness), "--temperature-c", *map(str, temperature),
                    "--out", str(path)], check=True, stdout=subprocess.DEVNULL)
    rows = [line.split(",") for line in path.read_text().splitlines() if line[:2] in ("20", "19")]
    assert len(rows) == 8760
    return (latitude, longitude, elevation, round(longitude / 15), r.choice(states)), rows


def write_epw(number, site, rows, folder):
    latitude, longitude, elevation, zone, state = site
    with open(folder / f"{number:03}.epw", "w") as out:
        out.write(f"LOCATION,Station {number} (made weather),{state},INV,made,{900000 + number},{latitude:.2f},{longitude:.2f},"
                  f"{zone},{elevation:.0f}\nDESIGN CONDITIONS,0\nTYPICAL/EXTREME PERIODS,0\nGROUND TEMPERATURES,0\n"
                  "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0\nCOMMENTS 1,made by a random generator and not measured\nCOMMENTS 2,\n"
                  "DATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31\n")
        for year, month, day, hour, ghi, dni, dhi, temperature, wind in rows:
            out.write(f"{year},{month},{day},{int(hour) + 1},0,?,{temperature},0,50,95000,0,0,300,{ghi},{dni},{dhi},0,0,0,0,0,"
                      f"{wind},5,5,10,77777,9,999999999,10,0.1,0,88,0.2,0,0\n")


def write_tmy3(number, site, rows, folder):
    latitude, longitude, elevation, zone, state = site
    with open(folder / f"{number:03}.csv", "w") as out:
        out.write(f'{900000 + number},"Station {number} (made weather, not measured)",{state},{zone},{latitude:.3f},'
                  f"{longitude:.3f},{elevation:.0f}\n"
                  "Date (MM/DD/YYYY),Time (HH:MM),GHI (W/m^2),DNI (W/m^2),DHI (W/m^2),Dry-bulb (C),Wspd (m/s),Alb (unitless)\n")
        for year, month, day, hour, ghi, dni, dhi, temperature, wind in rows:
            out.write(f"{int(month):02}/{int(day):02}/{year},{int(hour) + 1:02}:00,{ghi},{dni},{dhi},{temperature},{wind},0.2\n")


def write_stations(program, count, folder):
    """Writes the files of stations 0 to count - 1 into the folder; their paths."""
    with tempfile.TemporaryDirectory() as scratch:
        for number in range(count):
            site, rows = made(program, number, pathlib.Path(scratch))
            (write_epw if number % 2 else write_tmy3)(number, site, rows, folder)
    return sorted(folder.iterdir())
