/** A surveyed road as the files that people go on with: a stage in YAML and its road table at stations. */
import { stringify } from 'yaml';
import { InputError } from '../../input/diagnostic.ts';
import { memoryFiles } from '../../input/file-access.ts';
import { escaped } from '../../input/render-diagnostic.ts';
import { readStage } from '../read-stage.ts';
import type { RoadTable } from '../road-table.ts';
import type { Georeference, Stage } from '../stage.ts';
import { SurveyError } from './survey-error.ts';

export interface StageTexts {
  readonly stage: string;
  readonly road: string;
}

export interface StageToWrite {
  readonly name: string;
  /** File name of the road table, beside the stage file. */
  readonly roadFile: string;
  readonly road: RoadTable;
  readonly georeference: Georeference | null;
  /** Height above the sea for the air [m]; null where none is known. */
  readonly altitude: number | null;
  /** Where the road comes from, for the first lines; one sentence each. */
  readonly remarks: readonly string[];
}

/**
 * The two files as texts, and the stage that they read back as.
 * @throws SurveyError where the road is none that a stage may have, such as one with grades that no road has
 */
export function writeStage(stage: StageToWrite): StageTexts & { readonly read: Stage } {
  const texts = { stage: stageText(stage), road: roadText(stage.road, stage.remarks) };
  const files = memoryFiles({ 'stage.yaml': texts.stage, [stage.roadFile]: texts.road });
  try {
    return { ...texts, read: readStage('stage.yaml', files) };
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    const [{ message }] = error.diagnostics;
    throw new SurveyError(
      `the line through these points is no road: ${message}`,
      'positions or heights are too noisy or too far apart; record the road again with 10 points a second, and average three drives',
    );
  }
}

const comment = (sentence: string) => `# ${escaped(sentence)}\n`;

function stageText({ name, roadFile, georeference, altitude, remarks }: StageToWrite): string {
  const lines = remarks.map(comment);
  lines.push(`stage: ${yamlText(name)}\n`, `road: ${yamlText(roadFile)}\n`);
  lines.push('start: standing                # or start: {rolling: 60 km/h}\n');
  lines.push('# splits: [1.2 km, 2.5 km]     # distances from the start line\n');
  if (altitude !== null) lines.push(`air: {altitude: ${altitude.toFixed(0)} m}\n`);
  if (georeference !== null) {
    const { latitude, longitude, height } = georeference;
    lines.push('# where x_m = 0, y_m = 0 of the road table lies on WGS 84\n');
    lines.push(
      `georeference: {latitude: ${latitude} deg, longitude: ${longitude} deg, height: ${height} m}\n`,
    );
  }
  return lines.join('');
}

/** A text as YAML writes it, in quotes where it needs them. */
const yamlText = (text: string) => stringify(escaped(text), { lineWidth: 0 }).trimEnd();

function roadText(road: RoadTable, remarks: readonly string[]): string {
  const {
    s,
    curvature,
    curvatureIn,
    grade,
    crossfall,
    verticalCurvature,
    surface,
    surfaceNames,
    xy,
    z,
    width,
  } = road;
  const cell = (name: string) => (/[",\n]/.test(name) ? `"${name.replaceAll('"', '""')}"` : name);
  const names = surfaceNames.map(cell);
  const inPlan = (i: number) => (curvatureIn === 'plan' ? 1 / (1 + grade[i] * grade[i]) : 1);
  const columns: [string, (i: number) => string][] = [
    ['station_m', (i) => fixed(s[i], 3)],
    ['curvature_1pm', (i) => fixed(curvature[i] * inPlan(i), 7)],
    ['grade_pct', (i) => fixed(grade[i] * 100, 4)],
  ];
  if (crossfall.some((x) => x !== 0))
    columns.push(['crossfall_deg', (i) => fixed((crossfall[i] * 180) / Math.PI, 3)]);
  if (verticalCurvature) columns.push(['vertical_curvature_1pm', (i) => fixed(verticalCurvature[i], 7)]);
  columns.push(['surface', (i) => names[surface[i]]]);
  if (xy) columns.push(['x_m', (i) => fixed(xy.x[i], 3)], ['y_m', (i) => fixed(xy.y[i], 3)]);
  if (z) columns.push(['z_m', (i) => fixed(z[i], 3)]);
  if (width) columns.push(['width_m', (i) => fixed(width[i], 2)]);
  const rows = Array.from(s, (_, i) => columns.map(([, write]) => write(i)).join(','));
  return `${remarks.map(comment).join('')}${columns.map(([name]) => name).join(',')}\n${rows.join('\n')}\n`;
}

/** With so many decimals at most, and no more than are needed. */
const fixed = (x: number, decimals: number): string => String(Number(x.toFixed(decimals)));
