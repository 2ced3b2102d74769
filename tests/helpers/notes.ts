import { Faults } from '../../src/input/faults.ts';
import { memoryFiles } from '../../src/input/file-access.ts';
import { type NotedRoad, type Radii, roadOfNotes } from '../../src/track/pace-notes.ts';
import { type CallList, readCalls } from '../../src/track/pace-notes-calls.ts';
import { type PaceNoteScale, readScale } from '../../src/track/pace-notes-scale.ts';
import { noteTexts } from '../../src/track/pace-notes-write.ts';
import { readStage } from '../../src/track/read-stage.ts';
import type { RoadTable } from '../../src/track/road-table.ts';

/** A scale for tests: 1 is the tightest. */
export const scaleText = `scale: Test
bends:
  hairpin: {radius: [6 m, 12 m], turn: 165 deg}
  1: {radius: [10 m, 20 m], turn: 110 deg}
  4: {radius: [60 m, 100 m], turn: 45 deg}
  6: {radius: [170 m, 350 m], turn: 20 deg}
modifiers:
  long: {turn: 1.6}
  tightens: {end: 0.5}
  opens: {end: 2}
  crest: {over: [150 m, 400 m], length: 60 m}
  big dip: {through: [100 m, 100 m], length: 40 m}
ignore: [over, into, don't cut]
easing: 0.2
`;

export interface ReadNotes {
  readonly scale: PaceNoteScale;
  readonly list: CallList;
}

/** Reads calls written as rows `distance,call`. */
export function readNotes(rows: readonly string[], scale = scaleText, header = 'distance_m,call'): ReadNotes {
  const files = memoryFiles({ 'scale.yaml': scale, 'calls.csv': `${[header, ...rows].join('\n')}\n` });
  const faults = new Faults();
  const read = readScale('scale.yaml', files, faults);
  const list = read === null ? null : readCalls('calls.csv', files, read, faults);
  faults.throwIfFailed();
  return { scale: read!, list: list! };
}

/** The road of the notes, and the same read back from the files that are written. */
export function roadOf(
  { scale, list }: ReadNotes,
  radii: Radii = 'middle',
  surface = 'gravel',
): { readonly made: NotedRoad; readonly table: RoadTable; readonly text: string } {
  const made = roadOfNotes(list, scale, radii, surface);
  const texts = noteTexts({ name: 'Test', roadFile: 'road.csv', road: made, remarks: ['Made in a test.'] });
  const files = memoryFiles({ 'stage.yaml': texts.stage, 'road.csv': texts.road });
  return { made, table: readStage('stage.yaml', files).road, text: texts.road };
}
