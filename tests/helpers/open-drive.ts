import { memoryFiles } from '../../src/input/file-access.ts';
import { readStage } from '../../src/track/read-stage.ts';
import type { RoadTable } from '../../src/track/road-table.ts';
import type { Stage } from '../../src/track/stage.ts';

/** An OpenDRIVE file of roads. */
export const openDrive = (...roads: readonly string[]): string =>
  `<?xml version="1.0"?>\n<OpenDRIVE>\n<header revMajor="1" revMinor="7" name="" vendor="tests"/>\n${roads.join('\n')}\n</OpenDRIVE>\n`;

/** A road of pieces, each one line; `more` stands behind the plan view. */
export const road = (id: string, pieces: readonly string[], more = '', link = ''): string =>
  `<road id="${id}" length="0" junction="-1">\n${link}<planView>\n${pieces.join('\n')}\n</planView>\n${more}\n</road>`;

export const piece = (
  s: number,
  [x, y, heading]: readonly [number, number, number],
  length: number,
  shape: string,
): string => `<geometry s="${s}" x="${x}" y="${y}" hdg="${heading}" length="${length}">${shape}</geometry>`;

export function readXodr(text: string, keys = ''): Stage {
  const files = memoryFiles({ 'stage.yaml': `stage: Test\nroad: road.xodr\n${keys}`, 'road.xodr': text });
  return readStage('stage.yaml', files);
}

/** A column at a station, linear between rows; at a step the rows after it count. */
export function columnAt({ s }: RoadTable, column: Float64Array, at: number): number {
  let i = 0;
  while (i < s.length - 2 && s[i + 1] <= at) i++;
  return column[i] + ((column[i + 1] - column[i]) * (at - s[i])) / (s[i + 1] - s[i]);
}
