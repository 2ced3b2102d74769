import { expect, test } from 'vitest';
import { check } from '../../src/cli/check.ts';
import { memoryFiles } from '../../src/input/file-access.ts';
import { car, engine, goodFiles, points, spoil, stage, stations } from '../fixtures/good-files.ts';

const said = (files: Record<string, string>, ...paths: string[]) =>
  check(paths, memoryFiles({ ...goodFiles, ...files }));

test('sound files are named for what they are', () => {
  expect(said({}, 'car.yaml', 'stage.yaml')).toEqual({
    text: 'car.yaml: a car, 1390 kg, grip on gravel, asphalt\nstage.yaml: a stage, 0.450 km, 2 splits, gravel, asphalt\n',
    status: 0,
  });
  expect(said({}, 'road.csv', 'engine.csv')).toEqual({
    text: 'road.csv: a road table, 0.450 km, gravel, asphalt\nengine.csv: an engine table, torque at 4 engine speeds\n',
    status: 0,
  });
});

test('a table that a stage or car names is read once, as it is named there', () => {
  const files = {
    'ring.yaml': 'stage: Ring\nroad: ./ring.csv\ncolumns: {w_right: ignore}\n',
    'ring.csv': points.replace('z_m', 'w_right'),
  };
  expect(said(files, 'ring.csv', 'ring.yaml', 'car.yaml', './engine.csv')).toEqual({
    text:
      'ring.csv: the table of ring.yaml\nring.yaml: a stage, 0.051 km, 0 splits, asphalt\n' +
      'car.yaml: a car, 1390 kg, grip on gravel, asphalt\n./engine.csv: the table of car.yaml\n',
    status: 0,
  });
});

test('two stages over one road find its fault once', () => {
  const { text, status } = said(
    { 'other.yaml': stage, 'road.csv': spoil(stations, '260,0.02', '260,x') },
    'stage.yaml',
    'other.yaml',
    'road.csv',
  );
  expect(text.split('\n')).toEqual([
    'road.csv:5:5: error: curvature_1pm is x, which is no number; expected -1 to 1 1/m [table/number]',
    '',
    '  5 | 260,x,5,2,asphalt',
    '    |     ^',
    'help: 1/radius, positive to the left, 0 where straight: a left-hand bend of 50 m is 0.02',
    '',
    '1 error, 0 warnings',
    '',
  ]);
  expect(status).toBe(2);
});

test('each car is checked with each stage', () => {
  const ice = { 'ice.yaml': spoil(car, 'gravel: 0.62, asphalt: {across: 0.95, along: 1.00}', 'ice: 0.1') };
  const { text, status } = said(ice, 'car.yaml', 'ice.yaml', 'stage.yaml');
  expect(text).toContain('error: the tyre of ice.yaml has no grip for the surface gravel [pair/no-grip]');
  expect(text).toContain('error: the tyre of ice.yaml has no grip for the surface asphalt [pair/no-grip]');
  expect(text).not.toContain('the tyre of car.yaml');
  expect(status).toBe(2);
});

test('a table is told by its columns where its name tells nothing', () => {
  expect(said({ engine }, 'engine').text).toBe('engine: an engine table, torque at 4 engine speeds\n');
  expect(said({ data: car }, 'data').text).toBe('data: a car, 1390 kg, grip on gravel, asphalt\n');
});

test('twenty faults of a kind are shown and the rest counted', () => {
  const rows = Array.from({ length: 30 }, (_, i) => `${i},x,gravel\n`).join('');
  const { text } = said({ 'road.csv': `station_m,curvature_1pm,surface\n${rows}` }, 'road.csv');
  expect(text.match(/curvature_1pm is x/g)).toHaveLength(20);
  expect(text).toContain('road.csv: error: 10 more faults of this kind were counted [table/number]\n');
});

test('an event is read with all it names, changes and a scale of pace notes for themselves', () => {
  const files = {
    'event.yaml':
      'event: Two loops\ncar: car.yaml\nchanges: changes.yaml\nloops:\n  - {loop: One, stages: [stage.yaml]}\n',
    'changes.yaml': 'changes:\n  - {change: Lighter, add: {mass: -20 kg}}\n',
  };
  expect(said(files, 'event.yaml', 'changes.yaml', 'car.yaml')).toEqual({
    text:
      'event.yaml: an event, 1 stage, 1 change, 0 ranges\nchanges.yaml: 1 change, 0 ranges\n' +
      'car.yaml: a car, 1390 kg, grip on gravel, asphalt\n',
    status: 0,
  });
  const { text, status } = said(
    { ...files, 'car.yaml': spoil(car, '1390 kg', '1390') },
    'event.yaml',
    'car.yaml',
  );
  expect(text.match(/mass is 1390/g)).toHaveLength(1);
  expect(status).toBe(2);
});

test('a recorded track is sent to the command that reads it', () => {
  expect(said({ 'recce.gpx': '<?xml version="1.0"?>\n<gpx/>\n' }, 'recce.gpx')).toEqual({
    text:
      'recce.gpx: error: the file is a recorded track, expected a car, a stage or a table of theirs [file/kind]\n' +
      'help: make a stage of it: splitcast survey recce.gpx --out FOLDER\n\n1 error, 0 warnings\n',
    status: 2,
  });
});
