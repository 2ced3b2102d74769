/** The anonymous real cars of the validation set of UN GTR 15, as their files state them. */
import { sharedText } from './shared-data.ts';

export const GTR15 = '../shared/data/vehicles/gtr15';

export interface RealCar {
  readonly id: number;
  readonly mass: number; //    test mass [kg]
  readonly idleRpm: number; // [rpm]
  readonly ratedRpm: number; // engine speed of rated power [rpm]
  readonly f0: number; //      road load [N]
  readonly f1: number; //      [N h/km]
  readonly f2: number; //      [N h²/km²]
  readonly rpmPerKmh: readonly number[]; // one per gear, falling [rpm h/km]
  readonly rpm: readonly number[]; //       engine speeds of the full-load curve, rising [rpm]
  readonly kW: readonly number[]; //        full-load power there [kW]
}

/** All cars of the set; empty where the data is not here. */
export function realCars(): RealCar[] {
  const vehicles = rowsOf('vehicle.txt');
  const gears = rowsOf('gearbox.txt');
  const engines = rowsOf('engine.txt');
  return vehicles.map((row) => {
    const id = row('veh');
    const engine = engines.filter((other) => other('veh') === id);
    return {
      id,
      mass: row('m_test'),
      idleRpm: row('n_idle'),
      ratedRpm: row('n_rated'),
      f0: row('f0'),
      f1: row('f1'),
      f2: row('f2'),
      rpmPerKmh: gears.filter((other) => other('veh') === id).map((gear) => gear('ndv')),
      rpm: engine.map((point) => point('n')),
      kW: engine.map((point) => point('p')),
    };
  });
}

/** Rows of a table as functions from a column's name to its number. */
function rowsOf(file: string): ((column: string) => number)[] {
  const text = sharedText(`vehicles/gtr15/${file}`);
  if (text === null) return [];
  const [header, ...lines] = text.trimEnd().split('\n');
  const cells = (line: string) => line.split(',').map((cell) => cell.trim());
  const columns = cells(header);
  return lines.map((line) => {
    const values = cells(line);
    return (column) => Number(values[columns.indexOf(column)]);
  });
}
