/** The engine: its full-load curve from a table, and the speeds between which it works. */
import type { Place } from '../input/diagnostic.ts';
import type { Faults } from '../input/faults.ts';
import { type FileAccess, TABLE_LIMIT } from '../input/file-access.ts';
import { readSource, type Source } from '../input/source.ts';
import { type NumberColumn, readRows } from '../input/table.ts';
import { checkColumns, type Header, readHeader } from '../input/table-header.ts';

export const engineColumns: Readonly<Record<string, NumberColumn>> = {
  // Small electric motors pass 20 000 rpm. Common practice, no source.
  engine_rpm: { unit: 'rpm', min: 0, max: 50_000, help: 'revolutions per minute, rising from row to row' },
  // Heavy trucks have 3500 N m, electric motors of several axles more. Common practice, no source.
  torque_Nm: { unit: 'N m', min: 0, max: 20_000, help: 'newton metres at full load, at the crankshaft' },
  power_kW: {
    unit: 'kW',
    min: 0,
    max: 5000,
    help: 'kilowatts at full load, at the crankshaft; 1 hp is 0.746 kW',
  },
};

export const engineColumnNames: readonly string[] = Object.keys(engineColumns);

const RPM = (2 * Math.PI) / 60; // [rad/s]

/** A full-load curve as read. */
export interface EngineCurve {
  readonly kind: 'torque' | 'power';
  readonly speed: Float64Array; // [rad/s]
  readonly value: Float64Array; // [N m] or [W]
}

/** Reads an engine table file. @returns null where it has errors; all are reported */
export function readEngineTable(
  path: string,
  files: FileAccess,
  kind: 'torque' | 'power' | null,
  faults: Faults,
  namedAt: Place | null,
): EngineCurve | null {
  const source = readSource(path, files, TABLE_LIMIT, faults, namedAt);
  return source === null ? null : engineFrom(source, kind, faults, namedAt);
}

/** As `readEngineTable`, for text already at hand. @param kind the key that names the table; null: none does */
export function engineFrom(
  source: Source,
  kind: 'torque' | 'power' | null,
  faults: Faults,
  namedAt: Place | null,
): EngineCurve | null {
  const known = Object.keys(engineColumns);
  const header = readHeader(source, known, 'engine_rpm,torque_Nm', null, faults);
  if (header === null) return null;
  const wanted =
    kind ??
    (header.columns.includes('power_kW') && !header.columns.includes('torque_Nm') ? 'power' : 'torque');
  const column = wanted === 'torque' ? 'torque_Nm' : 'power_kW';
  const other = wanted === 'torque' ? 'power_kW' : 'torque_Nm';
  const swapped = !header.columns.includes(column) && header.columns.includes(other);
  const required = swapped ? ['engine_rpm'] : ['engine_rpm', column];
  const stranger = () => 'leave out what is not needed';
  const well = checkColumns(header, [...known, 'note'], required, null, 'an engine table', faults, stranger);
  if (swapped && namedAt !== null) {
    faults.error(
      'engine/column',
      namedAt,
      `engine.${wanted} names ${source.file}, which has a column ${other} and no ${column}`,
      `write \`${wanted === 'torque' ? 'power' : 'torque'}:\` in place of \`${wanted}:\``,
    );
    return null;
  }
  if (!well) return null;
  return curveFrom(header, wanted, column, faults);
}

function curveFrom(
  header: Header,
  kind: 'torque' | 'power',
  column: string,
  faults: Faults,
): EngineCurve | null {
  const rows = readRows(header, engineColumns, faults);
  const rpm = rows.numbers('engine_rpm');
  const value = rows.numbers(column);
  let well = rows.whole;
  const no = (code: string, place: Place, message: string, help: string) => {
    well = false;
    faults.error(code, place, message, help);
  };
  if (rows.n < 2 && rows.whole) {
    const has = rows.n === 0 ? 'no rows' : 'one row';
    no(
      'engine/rows',
      header.whole,
      `the engine table has ${has}, expected 2 or more`,
      'write a row for each engine speed of the full-load curve; between rows it is linear',
    );
  }
  for (let i = 1; i < rows.n; i++) {
    if (rpm[i] > rpm[i - 1] || Number.isNaN(rpm[i] - rpm[i - 1])) continue;
    const place = faults.full(header.source.file, 'engine/order')
      ? header.whole
      : rows.place(i, 'engine_rpm');
    no(
      'engine/order',
      place,
      `engine_rpm goes from ${rpm[i - 1]} to ${rpm[i]} rpm; expected it to rise`,
      'sort the rows by engine speed, each once',
    );
  }
  if (well && kind === 'power' && rpm[0] === 0 && value[0] > 0) {
    no(
      'engine/rest',
      rows.place(0, column),
      `power_kW is ${value[0]} kW at 0 rpm, which would be a torque without bound`,
      'write 0 there, or begin the table at a higher engine speed',
    );
  }
  if (well && rows.n > 0 && !value.some((x) => x > 0)) {
    no('engine/dead', header.whole, `${column} is 0 in every row`, 'give the full-load curve');
  }
  if (!well) return null;
  return {
    kind,
    speed: rpm.map((x) => x * RPM),
    value: kind === 'power' ? value.map((x) => x * 1000) : value.slice(),
  };
}
