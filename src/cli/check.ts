/** `splitcast check FILE...`: says all that is wrong with cars, stages and tables, without timing anything. */

import { checkPair } from '../input/check-pair.ts';
import type { Diagnostic } from '../input/diagnostic.ts';
import { Faults } from '../input/faults.ts';
import type { FileAccess } from '../input/file-access.ts';
import { renderDiagnostic } from '../input/render-diagnostic.ts';
import { type Changes, readChanges } from '../study/read-changes.ts';
import { openStudy, type Study } from '../study/study.ts';
import { readScale } from '../track/pace-notes-scale.ts';
import { roadFrom } from '../track/read-road.ts';
import { stageFrom } from '../track/read-stage.ts';
import type { RoadTable } from '../track/road-table.ts';
import type { Stage } from '../track/stage.ts';
import type { CarSpec } from '../vehicle/car-spec.ts';
import { carFrom } from '../vehicle/read-car.ts';
import { engineFrom } from '../vehicle/read-engine.ts';
import { isTableName, openFile } from './open-file.ts';

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
      if (path !== reader && isTableName(path) && !readThrough.has(tidy(path)))
        readThrough.set(tidy(path), reader);
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
  const opened = openFile(path, files, faults);
  if (opened === null) return null;
  switch (opened.kind) {
    case 'car': {
      const car = carFrom(opened.yaml, files, faults);
      if (car === null) return null;
      cars.push(car);
      return `a car, ${car.mass} kg, grip on ${[...car.tyre.grip.keys()].join(', ')}`;
    }
    case 'stage': {
      const stage = stageFrom(opened.yaml, files, faults);
      if (stage === null) return null;
      stages.push(stage);
      return `a stage, ${roadLine(stage.road, `${count(stage.splits.length, 'split')}, `)}`;
    }
    case 'engine table': {
      const curve = engineFrom(opened.source, null, faults, null);
      return curve && `an engine table, ${curve.kind} at ${curve.speed.length} engine speeds`;
    }
    case 'road table': {
      const placed = roadFrom(opened.source, { closedAt: null, columns: null }, faults);
      return placed && `a road table, ${roadLine(placed.road, '')}`;
    }
    case 'event': {
      const study = openStudy(path, files, {}, faults);
      return study && eventLine(study);
    }
    case 'changes': {
      const read = readChanges(path, files, faults, null);
      return read && changesLine(read);
    }
    case 'scale': {
      const scale = readScale(path, files, faults);
      return scale && `a scale of pace notes, ${scale.name}`;
    }
    case 'call list':
      return 'a call list; `splitcast notes` reads it with its scale';
  }
}

/** Stages, conditions, changes and ranges of an event. */
function eventLine({ event }: Study): string {
  const stages = event.loops.reduce((sum, loop) => sum + loop.stages.length, 0);
  const conditions = event.conditions.filter(({ name }) => name !== null).length;
  const parts = [count(stages, 'stage')];
  if (conditions > 0) parts.push(count(conditions, 'condition'));
  if (event.changes !== null) parts.push(changesLine(event.changes));
  return `an event, ${parts.join(', ')}`;
}

const changesLine = ({ changes, settings }: Changes) =>
  `${count(changes.length, 'change')}, ${count(settings.length, 'range')}`;

const roadLine = ({ s, surfaceNames }: RoadTable, between: string) =>
  `${(s.at(-1)! / 1000).toFixed(3)} km, ${between}${surfaceNames.join(', ')}`;
