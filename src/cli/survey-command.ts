/** `splitcast survey INPUT... --out FOLDER`: recorded positions become a stage file and a road table. */
import { basename, join } from 'node:path';
import { checkPair } from '../input/check-pair.ts';
import { InputError } from '../input/diagnostic.ts';
import { Faults } from '../input/faults.ts';
import { escaped, renderDiagnostic } from '../input/render-diagnostic.ts';
import { surveyText } from '../report/survey-text.ts';
import { StageError } from '../sim/stage-error.ts';
import { type RoadSpread, roadSpread } from '../study/road-spread.ts';
import type { RoadTable } from '../track/road-table.ts';
import type { Stage } from '../track/stage.ts';
import { readRecordings } from '../track/survey/read-recordings.ts';
import type { Recording } from '../track/survey/recording.ts';
import { CAR_WIDTH, smoothLine } from '../track/survey/smooth-line.ts';
import { type Surveyed, surveyRoad } from '../track/survey/survey.ts';
import { SurveyError } from '../track/survey/survey-error.ts';
import { writeStage } from '../track/survey/write-stage.ts';
import type { CarSpec } from '../vehicle/car-spec.ts';
import { readCar } from '../vehicle/read-car.ts';
import { DONE, INPUT_FAULT, type Io } from './io.ts';
import { fileName, writeNew } from './new-files.ts';
import { nodeFiles } from './node-files.ts';
import { packageFile } from './package-file.ts';
import { type ReadFlags, readFlags, type SurveyFlags } from './survey-flags.ts';
import type { FileToWrite } from './write-whole.ts';

/** The car that is timed where none is given: the one of the examples. */
const STANDARD_CAR = 'stages/tarvenmoor/car.yaml';
const CENTRE =
  'centre: the stage follows the line of the positions, which takes hairpins slower than a car that uses the width of the road.';
/** Seed of the roads that are drawn: the same input gives the same output. */
const SEED = 1;

/** Ends the command with what to print on the error channel. */
class Refused extends Error {}

export async function surveyCommand(inputs: readonly string[], flags: SurveyFlags, io: Io): Promise<number> {
  try {
    io.out(await survey(inputs, flags));
    return DONE;
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    io.err(error.message);
    return INPUT_FAULT;
  }
}

async function survey(inputs: readonly string[], flags: SurveyFlags): Promise<string> {
  const wrong: string[] = [];
  const read = readFlags(flags, (flag, fault, help) =>
    wrong.push(`${escaped(flag)}: ${escaped(fault)}\nhelp: ${help}\n`),
  );
  const recordings = attempt(wrong, () => readAll(inputs)) ?? [];
  const car = attempt(wrong, () => readCar(flags.car ?? packageFile(STANDARD_CAR), nodeFiles));
  if (wrong.length > 0 || car === null) refuse(wrong.join('\n'), wrong.length);

  const surveyed = attemptTo(() => surveyRoad(recordings, { ...read, reverse: flags.reverse === true }));
  const name = flags.name?.trim() || surveyed.used[0].recording.name.trim() || stem(inputs[0]);
  const { refusal } = surveyed.fit;
  if (refusal !== null) {
    const told = surveyText({
      name,
      surveyed,
      road: surveyed.fit.table,
      line: CENTRE,
      car: car.name,
      spread: null,
      wrote: [],
    });
    throw new Refused(
      `${told}\nerror: ${refusal.reason} [survey/refused]\nhelp: ${refusal.advice}\nnothing written\n`,
    );
  }
  const { road, line } = pathOn(surveyed, read);

  const slug = fileName(name);
  const written = attemptTo(() =>
    writeStage({
      name,
      roadFile: `${slug}.csv`,
      road,
      georeference: surveyed.georeference,
      altitude: meanHeight(road),
      remarks: [
        `Made by splitcast survey from ${[...new Set(surveyed.used.map(({ recording }) => basename(recording.place.file)))].join(', ')}.`,
        line,
      ],
    }),
  );
  const spread = timed(car, written.read, surveyed, read, flags);
  const files: FileToWrite[] = [
    { path: join(flags.out, `${slug}.yaml`), chunks: [written.stage] },
    { path: join(flags.out, `${slug}.csv`), chunks: [written.road] },
  ];
  if (flags.preview !== undefined) {
    const { surveyPreview } = await import('../report/survey-preview.ts');
    const svg = await surveyPreview({ name, road, fit: surveyed.fit });
    const picture = read.preview === 'png' ? (await import('./png.ts')).png(svg) : svg;
    files.push({ path: flags.preview, chunks: [picture] });
  }
  const failed = writeNew(files, flags.out, flags.force === true);
  if (failed !== null) throw new Refused(failed);
  return surveyText({
    name,
    surveyed,
    road,
    line,
    car: car.name,
    spread,
    wrote: files.map(({ path }) => path),
  });
}

/** What a reader gives, or null after noting its faults. */
function attempt<T>(wrong: string[], read: () => T): T | null {
  try {
    return read();
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    wrong.push(...error.diagnostics.map(renderDiagnostic));
    return null;
  }
}

function readAll(inputs: readonly string[]): Recording[] {
  const faults = new Faults();
  const recordings = inputs.flatMap((path) => readRecordings(path, nodeFiles, faults));
  faults.throwIfFailed();
  return recordings;
}

function refuse(text: string, count: number): never {
  throw new Refused(`${text}\n${count === 1 ? '1 fault' : `${count} faults`}, nothing written\n`);
}

/** What a step of the survey gives; ends the command where that is refused. */
function attemptTo<T>(step: () => T): T {
  try {
    return step();
  } catch (error) {
    if (!(error instanceof SurveyError)) throw error;
    const detail = error.detail.map((line) => `  ${line}\n`).join('');
    throw new Refused(
      `error: ${escaped(error.message)} [survey/tracks]\n${detail}help: ${error.help}\nnothing written\n`,
    );
  }
}

/** The road on the line that is asked for, and a sentence that says which it is. */
function pathOn(
  { fit }: Surveyed,
  { line, width }: ReadFlags,
): { readonly road: RoadTable; readonly line: string } {
  if (line === 'centre') {
    return { road: fit.table, line: CENTRE };
  }
  try {
    const road = smoothLine(fit.table, width);
    const of = fit.table.width === null ? `a width of ${width} m` : 'the width of the road';
    return {
      road,
      line: `smooth: the path of least bending within ${of}, the middle of the car ${CAR_WIDTH / 2} m from the edges.`,
    };
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    throw new Refused(
      `--line smooth: ${error.message}\nhelp: give the width between the edges of the road, such as --width 3.5m, or a column width_m in the input\nnothing written\n`,
    );
  }
}

/** A drawn road on the line that is asked for. */
const onLine = (road: RoadTable, { line, width }: ReadFlags): RoadTable =>
  line === 'smooth' ? smoothLine(road, width) : road;

function timed(
  car: CarSpec,
  stage: Stage,
  { fit }: Surveyed,
  read: ReadFlags,
  flags: SurveyFlags,
): RoadSpread {
  const lacking = checkPair(car, stage);
  if (lacking.length > 0) {
    const names = [...car.tyre.grip.keys()].join(', ');
    throw new Refused(
      `--surface ${escaped(read.surface)}: the tyre of ${escaped(car.name)} has no grip for it\nhelp: it has ${escaped(names)}; or give a car of your own with --car FILE\nnothing written\n`,
    );
  }
  try {
    return roadSpread(car, stage, (random) => onLine(fit.draw(random), read), SEED);
  } catch (error) {
    if (!(error instanceof StageError)) throw error;
    throw new Refused(
      `error: ${escaped(car.name)} on this road: ${error.message} [survey/car]\nhelp: ${error.help}${flags.car === undefined ? '; or give a car of your own with --car FILE' : ''}\nnothing written\n`,
    );
  }
}

/** Mean height for the air, rounded [m]; null without heights. */
function meanHeight({ z }: RoadTable): number | null {
  if (z === null) return null;
  let sum = 0;
  for (const height of z) sum += height;
  return Math.round(sum / z.length);
}

const stem = (path: string) => basename(path).replace(/\.[^.]*$/, '') || 'stage';
