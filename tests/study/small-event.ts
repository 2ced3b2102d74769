/** A small event to study and to spoil: short roads, so that thousands of set-ups take seconds. Invented. */
import { Faults } from '../../src/input/faults.ts';
import { memoryFiles } from '../../src/input/file-access.ts';
import { renderDiagnostic } from '../../src/input/render-diagnostic.ts';
import { openStudy, type Study, type StudyOptions } from '../../src/study/study.ts';
import { goodFiles } from '../fixtures/good-files.ts';

export const event = `event: Kestrel day
car: car.yaml
changes: changes.yaml
loops:
  - loop: Early
    stages: [{stage: stage.yaml, load: 20 kg}, lane.yaml]
  - loop: Late
    stages: [lane.yaml]
conditions: {dry: 3, wet: 1}
limits:
  mass: {least: 1370 kg, step: 10 kg}
  cost: {most: 1200, step: 300}
uncertain:
  tyre.grip.gravel: {sd: 4 %}
  mass: {sd: 10 kg}
  pace: {range: [0.92, 0.98]}
`;

export const changes = `changes:
  - change: Short final drive
    group: final drive
    set: {driveline.final_drive: = 43 / 9}
    takes: {cost: 500}
  - change: Long final drive
    group: final drive
    set: {driveline.final_drive: 3.9}
    takes: {cost: 500}
  - change: Light seats
    add: {mass: -15 kg}
    takes: {cost: 700}
  - change: Map
    scale: {engine.torque: 1.04}
    takes: {cost: 600}
ranges:
  brakes.force: {from: 9 kN, to: 17 kN, step: 4 kN}
`;

export const lane = `stage: Lane
road: lane.csv
start: {rolling: 40 km/h}
splits: [150 m]
surfaces:
  gravel: {rolling_resistance: 0.03}
  asphalt: {rolling_resistance: 0.013}
conditions:
  wet: {asphalt: {grip: 0.8}}
`;

const laneRoad = `station_m,curvature_1pm,grade_pct,surface
0,0,0,asphalt
150,0,0,asphalt
160,0.03,0,asphalt
200,0.03,0,asphalt
210,0,0,gravel
380,0,0,gravel
`;

export const eventFiles: Readonly<Record<string, string>> = {
  ...goodFiles,
  'car.yaml': goodFiles['car.yaml'].replace('mass_factor', 'pace: 0.95\nmass_factor'),
  'event.yaml': event,
  'changes.yaml': changes,
  'lane.yaml': lane,
  'lane.csv': laneRoad,
};

/** The study of the files, sound or not: what is wrong as it is shown. */
export function attempt(
  files: Readonly<Record<string, string>>,
  options: StudyOptions = {},
): { readonly study: Study | null; readonly text: string } {
  const faults = new Faults();
  const study = openStudy('event.yaml', memoryFiles({ ...eventFiles, ...files }), options, faults);
  const errors = faults.all().filter(({ severity }) => severity === 'error');
  return { study, text: errors.map(renderDiagnostic).join('\n') };
}

/** The study of sound files at 2 m. */
export function small(files: Readonly<Record<string, string>> = {}, options: StudyOptions = {}): Study {
  const { study, text } = attempt(files, { step: 2, ...options });
  if (study === null) throw new Error(text);
  return study;
}
