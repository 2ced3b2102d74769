/** `splitcast notes CALLS.csv --scale SCALE.yaml --out FOLDER`: pace notes become a stage file and a road table. */
import { basename, join } from 'node:path';
import { checkPair } from '../input/check-pair.ts';
import { InputError } from '../input/diagnostic.ts';
import { Faults } from '../input/faults.ts';
import { memoryFiles } from '../input/file-access.ts';
import { escaped, renderDiagnostic } from '../input/render-diagnostic.ts';
import { notesText } from '../report/notes-text.ts';
import { StageError } from '../sim/stage-error.ts';
import { timeStage } from '../sim/time-stage.ts';
import { RADII, type Radii, roadOfNotes } from '../track/pace-notes.ts';
import { readCalls } from '../track/pace-notes-calls.ts';
import { type PaceNoteScale, readScale } from '../track/pace-notes-scale.ts';
import { noteTexts } from '../track/pace-notes-write.ts';
import { readStage } from '../track/read-stage.ts';
import type { Stage } from '../track/stage.ts';
import type { CarSpec } from '../vehicle/car-spec.ts';
import { readCar } from '../vehicle/read-car.ts';
import { DONE, INPUT_FAULT, type Io } from './io.ts';
import { fileName, writeNew } from './new-files.ts';
import { nodeFiles } from './node-files.ts';
import { packageFile } from './package-file.ts';

export interface NotesFlags {
  readonly scale: string;
  readonly out: string;
  readonly name?: string;
  readonly radii: Radii;
  readonly surface: string;
  readonly car?: string;
  readonly force?: true;
}

/** The car that is timed where none is given: the one of the examples. */
const STANDARD_CAR = 'stages/tarvenmoor/car.yaml';

export function notesCommand(path: string, flags: NotesFlags, io: Io): number {
  const refuse = (text: string) => {
    io.err(text);
    return INPUT_FAULT;
  };
  if (flags.surface.trim() === '')
    return refuse(
      '--surface: expected the name of a surface\nhelp: write --surface gravel\nnothing written\n',
    );
  const faults = new Faults();
  const scale = readScale(flags.scale, nodeFiles, faults);
  const list = scale === null ? null : readCalls(path, nodeFiles, scale, faults);
  const car = attempt(faults, () => readCar(flags.car ?? packageFile(STANDARD_CAR), nodeFiles));
  for (const d of faults.all()) io.err(`${renderDiagnostic(d)}\n`);
  if (scale === null || list === null || car === null)
    return refuse(`${faults.errors === 1 ? '1 fault' : `${faults.errors} faults`}, nothing written\n`);

  const name = flags.name?.trim() || basename(path).replace(/\.[^.]*$/, '') || 'stage';
  const slug = fileName(name);
  const made = (radii: Radii) => {
    const road = roadOfNotes(list, scale, radii, flags.surface.trim());
    return {
      road,
      texts: noteTexts({ name, roadFile: `${slug}.csv`, road, remarks: remarks(path, scale, radii) }),
    };
  };
  const times: Record<Radii, number | null> = { tight: null, middle: null, wide: null };
  for (const radii of RADII) {
    const timed = timeOf(car, stageOf(slug, made(radii).texts), flags);
    if (typeof timed === 'string') return refuse(`${timed}nothing written\n`);
    times[radii] = timed.time;
  }
  const { road, texts } = made(flags.radii);
  const files = [
    { path: join(flags.out, `${slug}.yaml`), chunks: [texts.stage] },
    { path: join(flags.out, `${slug}.csv`), chunks: [texts.road] },
  ];
  const fault = writeNew(files, flags.out, flags.force === true);
  if (fault !== null) return refuse(fault);
  const wrote = files.map((file) => file.path);
  const { radii } = flags;
  io.out(notesText({ name, list, scale, radii, shortened: road.shortened, car: car.name, times, wrote }));
  return DONE;
}

/** What a reader gives, or null after noting its faults. */
function attempt<T>(faults: Faults, read: () => T): T | null {
  try {
    return read();
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    for (const d of error.diagnostics) faults.add(d);
    return null;
  }
}

function remarks(path: string, scale: PaceNoteScale, radii: Radii): string[] {
  const end = radii === 'middle' ? 'middle' : `${radii} end`;
  return [
    `Made by splitcast notes from ${basename(path)} with the scale "${scale.name}" of ${basename(scale.file)}, radii at the ${end} of their ranges.`,
  ];
}

/** The stage as the written files will give it. */
function stageOf(slug: string, texts: { readonly stage: string; readonly road: string }): Stage {
  return readStage('stage.yaml', memoryFiles({ 'stage.yaml': texts.stage, [`${slug}.csv`]: texts.road }));
}

/** The time [s], null where the car cannot finish; or what to tell where it cannot be timed. */
function timeOf(car: CarSpec, stage: Stage, flags: NotesFlags): { readonly time: number | null } | string {
  const own = flags.car === undefined ? '; or give a car of your own with --car FILE' : '';
  const lacking = checkPair(car, stage);
  if (lacking.length > 0) {
    const grips = [...car.tyre.grip.keys()].join(', ');
    return `${lacking.map((d) => `error: ${escaped(d.message)}\n`).join('')}help: surfaces come from the call list, or from --surface; the tyre has ${escaped(grips)}${own}\n`;
  }
  try {
    return { time: timeStage(car, stage).time };
  } catch (error) {
    if (!(error instanceof StageError)) throw error;
    return `error: ${escaped(car.name)} on this road: ${error.message}\nhelp: ${error.help}${own}\n`;
  }
}
