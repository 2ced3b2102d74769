/** `splitcast check FILE...`: says all that is wrong with cars, stages and tables, without timing anything. */

import { checkPair } from '../input/check-pair.ts';
import type { Diagnostic } from '../input/diagnostic.ts';
import { Faults } from '../input/faults.ts';
import { type FileAccess, TABLE_LIMIT, YAML_LIMIT } from '../input/file-access.ts';
import { renderDiagnostic } from '../input/render-diagnostic.ts';
import { readSource, type Source, wholeFile } from '../input/source.ts';
import { cellsOf } from '../input/table-header.ts';
import { parseYaml } from '../input/yaml-file.ts';
import { roadColumnNames, roadFrom, roadKind } from '../track/read-road.ts';
import { stageFrom, stageKeys } from '../track/read-stage.ts';
import type { Stage } from '../track/stage.ts';
import type { CarSpec } from '../vehicle/car-spec.ts';
import { carFrom, carKeys } from '../vehicle/read-car.ts';
import { engineColumnNames, engineFrom } from '../vehicle/read-engine.ts';

export interface Checked {
  readonly diagnostics: readonly Diagnostic[]; // errors and warnings, file by file
  readonly found: readonly string[]; //           one line for each file that has no error
}

/**
 * Reads each file as what it is, and each car together with each stage. A table that one of the cars or stages names
 * is read through it, with the names and options given there.
 */
export function checkFiles(paths: readonly string[], files: FileAccess): Checked {
  const faults = new Faults();
  const said = new Map<string, string>();
  const cars: CarSpec[] = [];
  const stages: Stage[] = [];
  const readThrough = new Map<string, string>(); // table, as a tidy path: the file that names it
  let reader = '';
  const watched: FileAccess = {
    read(path, limit) {
      if (path !== reader && !readThrough.has(tidy(path))) readThrough.set(tidy(path), reader);
      return files.read(path, limit);
    },
  };
  const inOrder = [...paths.filter((path) => !isTableName(path)), ...paths.filter(isTableName)];
  for (const path of inOrder) {
    const by = readThrough.get(tidy(path));
    if (by !== undefined) {
      said.set(path, `the table of ${by}`);
      continue;
    }
    reader = path;
    const own = new Faults();
    const what = checkFile(path, watched, own, cars, stages);
    faults.take(own);
    if (!own.failed && what !== null) said.set(path, what);
  }
  for (const car of cars) for (const stage of stages) for (const d of checkPair(car, stage)) faults.add(d);
  const all = faults.all();
  const wrong = new Set(all.filter((d) => d.severity === 'error').map((d) => tidy(d.file)));
  const found = paths.filter((path) => said.has(path) && !wrong.has(tidy(path)));
  return { diagnostics: all, found: [...new Set(found)].map((path) => `${path}: ${said.get(path)}`) };
}

const isTableName = (path: string) => /\.(csv|tsv|txt)$/i.test(path);

/** A path without `.` and `name/..`, to tell whether two are one. */
function tidy(path: string): string {
  const parts: string[] = [];
  for (const part of path.replaceAll('\\', '/').split('/')) {
    if (part === '..' && parts.length > 0 && parts.at(-1) !== '..' && parts.at(-1) !== '') parts.pop();
    else if (part !== '.') parts.push(part);
  }
  return parts.join('/');
}

/** The command: what to print and the exit status, 2 where there is an error. */
export function check(
  paths: readonly string[],
  files: FileAccess,
): { readonly text: string; readonly status: number } {
  const { diagnostics, found } = checkFiles(paths, files);
  const errors = diagnostics.filter((d) => d.severity === 'error').length;
  const warnings = diagnostics.length - errors;
  const parts = diagnostics.map((d) => `${renderDiagnostic(d)}\n`);
  for (const line of found) parts.push(`${line}\n`);
  if (diagnostics.length > 0) parts.push(`${count(errors, 'error')}, ${count(warnings, 'warning')}\n`);
  return { text: parts.join(''), status: errors > 0 ? 2 : 0 };
}

const count = (n: number, what: string) => `${n} ${what}${n === 1 ? '' : 's'}`;

function checkFile(
  path: string,
  files: FileAccess,
  faults: Faults,
  cars: CarSpec[],
  stages: Stage[],
): string | null {
  const table = isTableName(path);
  const source = readSource(path, files, table ? TABLE_LIMIT : YAML_LIMIT, faults, null);
  if (source === null) return null;
  return table || (!/\.ya?ml$/i.test(path) && looksLikeTable(source))
    ? checkTable(source, faults)
    : checkYaml(source, files, faults, cars, stages);
}

/** Whether one of the first lines names a column of ours. */
function looksLikeTable(source: Source): boolean {
  const first = source.text.slice(0, 2000).split('\n');
  return first.some((line) =>
    cellsOf(line.replace(/^#\s*/, '')).some(({ text }) =>
      [...roadColumnNames, ...engineColumnNames].includes(text),
    ),
  );
}

function checkTable(source: Source, faults: Faults): string | null {
  const names = source.text
    .slice(0, 10_000)
    .split('\n')
    .flatMap((line) => cellsOf(line.replace(/^#\s*/, '')).map((c) => c.text));
  if (names.includes('engine_rpm') && roadKind(names) === null) {
    const curve = engineFrom(source, null, faults, null);
    return curve === null ? null : `an engine table, ${curve.kind} at ${curve.speed.length} engine speeds`;
  }
  const placed = roadFrom(source, { closedAt: null, columns: null }, faults);
  return placed === null
    ? null
    : `a road table, ${km(placed.road.s.at(-1)!)}, ${placed.road.surfaceNames.join(', ')}`;
}

function checkYaml(
  source: Source,
  files: FileAccess,
  faults: Faults,
  cars: CarSpec[],
  stages: Stage[],
): string | null {
  const yaml = parseYaml(source, faults);
  if (yaml === null) return null;
  const share = (keys: readonly string[]) => keys.filter((key) => Object.hasOwn(yaml.data, key)).length;
  const asStage = share(stageKeys) + ('stage' in yaml.data ? 10 : 0);
  const asCar = share(carKeys) + ('car' in yaml.data ? 10 : 0);
  if (asStage === 0 && asCar === 0) {
    faults.error(
      'file/kind',
      wholeFile(source.file),
      'the file is neither a car nor a stage',
      'begin it with `car: NAME` or with `stage: NAME`',
    );
    return null;
  }
  if (asCar >= asStage) {
    const car = carFrom(yaml, files, faults);
    if (car === null) return null;
    cars.push(car);
    return `a car, ${car.mass} kg, grip on ${[...car.tyre.grip.keys()].join(', ')}`;
  }
  const stage = stageFrom(yaml, files, faults);
  if (stage === null) return null;
  stages.push(stage);
  return `a stage, ${km(stage.road.s.at(-1)!)}, ${count(stage.splits.length, 'split')}, ${stage.road.surfaceNames.join(', ')}`;
}

const km = (metres: number) => `${(metres / 1000).toFixed(3)} km`;
