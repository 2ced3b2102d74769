/** A road made of pace notes as the files that people go on with: a stage in YAML and its elements table. */
import { stringify } from 'yaml';
import { escaped } from '../input/render-diagnostic.ts';
import type { ElementRow, NotedRoad } from './pace-notes.ts';

export interface NotesToWrite {
  readonly name: string;
  readonly roadFile: string; //             file name of the table, beside the stage file
  readonly road: NotedRoad;
  readonly remarks: readonly string[]; //   where the road comes from, one sentence each
}

/** The two files as texts. */
export function noteTexts({ name, roadFile, road, remarks }: NotesToWrite): {
  readonly stage: string;
  readonly road: string;
} {
  const head = remarks.map((sentence) => `# ${escaped(sentence)}\n`).join('');
  const yaml = (text: string) => stringify(escaped(text), { lineWidth: 0 }).trimEnd();
  return {
    stage: [
      head,
      `stage: ${yaml(name)}\n`,
      `road: ${yaml(roadFile)}\n`,
      'start: standing                # or start: {rolling: 60 km/h}\n',
      '# splits: [1.2 km, 2.5 km]     # distances from the start line\n',
    ].join(''),
    road: `${head}${HEADER}\n${road.rows.map((row) => `${rowText(row)}\n`).join('')}`,
  };
}

const HEADER = 'length_m,radius_m,end_radius_m,grade_pct,vertical_curve_m,surface,note';

function rowText(row: ElementRow): string {
  const { startCurvature: k0, endCurvature: k1 } = row;
  const eases = k0 !== k1;
  return [
    number(row.to - row.from, 3),
    k0 === 0 ? '' : number(1 / k0, 3),
    !eases ? '' : k1 === 0 ? 'inf' : number(1 / k1, 3),
    number(row.grade * 100, 4),
    row.verticalCurve === null ? '' : number(row.verticalCurve, 2),
    cell(row.surface),
    cell(row.note),
  ].join(',');
}

const number = (x: number, decimals: number): string => String(Number(x.toFixed(decimals)));
const cell = (text: string): string => (/[",]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);
