import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { runCommand } from '../helpers/run-command.ts';

const folder = mkdtempSync(join(tmpdir(), 'splitcast-'));
afterAll(() => rmSync(folder, { recursive: true }));

const write = (name: string, text: string): string => {
  writeFileSync(join(folder, name), text);
  return join(folder, name);
};

write('engine.csv', 'engine_rpm,torque_Nm\n1000,150\n4000,300\n7000,250\n');
write(
  'road.csv',
  'length_m,radius_m,end_radius_m,grade_pct,crossfall_deg,surface\n300,,,2,0,gravel\n60,-40,,2,0,gravel\n440,,,0,0,gravel\n',
);
write(
  'wall.csv',
  'length_m,radius_m,end_radius_m,grade_pct,crossfall_deg,surface\n300,,,2,0,gravel\n300,,,39,0,gravel\n',
);
const car = write(
  'car.yaml',
  `car: Test hatch
mass: 1300 kg
tyre: {radius: 0.31 m, grip: {gravel: 0.6}}
air: {drag_area: 0.7 m^2}
engine: {torque: engine.csv, limit: 7000 rpm}
driveline: {driven: all, gears: [3.0, 2.1, 1.6, 1.2], final_drive: 4.3, efficiency: 0.9, shift: 0.2 s}
`,
);
const weak = write(
  'weak.yaml',
  readFileSync(car, 'utf8')
    .replace('grip: {gravel: 0.6}', 'grip: {gravel: 0.2}')
    .replace('Test hatch', 'Weak "grip"'),
);
const stage = write('stage.yaml', 'stage: Short, sharp\nroad: road.csv\nsplits: [400 m]\n');
const weather = write(
  'weather.yaml',
  'stage: Short, sharp\nroad: road.csv\nconditions: {wet: {gravel: {grip: 0.7}}}\n',
);
const wall = write('wall.yaml', 'stage: The wall\nroad: wall.csv\n');

it('prints the version of the package', async () => {
  const { version } = JSON.parse(readFileSync(new URL('../../package.json', import.meta.url), 'utf8')) as {
    version: string;
  };
  expect(await runCommand('--version')).toEqual({ out: `${version}\n`, err: '', status: 0 });
});

describe('splitcast time', () => {
  it('prints a sector table whose shares add up to 100 %, within 100 columns', async () => {
    const { out, err, status } = await runCommand('time', car, stage);
    expect(status).toBe(0);
    expect(err).toBe('');
    expect(out).toContain('Short, sharp   0.80 km');
    expect(out).toContain('Closed roads only.');
    for (const line of out.split('\n')) expect(line.length).toBeLessThanOrEqual(100);
    const rows = out.split('\n').filter((line) => /^ +0\.[48]0 /.test(line));
    expect(rows).toHaveLength(2);
    for (const row of rows) {
      const shares = [...row.matchAll(/(\d+) %/g)].map((match) => Number(match[1]));
      expect(shares.reduce((a, b) => a + b, 0)).toBe(100);
    }
  });

  it('gives the same as data, always a list, units in the keys', async () => {
    const { out, status } = await runCommand('time', car, stage, '--json');
    expect(status).toBe(0);
    const data = JSON.parse(out);
    expect(Object.keys(data)).toEqual(['car', 'stages']);
    const [one] = data.stages;
    expect(Object.keys(one)).toEqual([
      'stage',
      'length_m',
      'climb_m',
      'time_s',
      'sectors',
      'watch',
      'model',
      'assumptions',
    ]);
    expect(one.length_m).toBe(800);
    expect(one.sectors.map((s: { to_m: number }) => s.to_m)).toEqual([400, 800]);
    const last = one.sectors[1];
    expect(last.running_time_s).toBe(one.time_s);
    for (const sector of one.sectors) {
      const held = Object.values<number>(sector.held_s).reduce((a, b) => a + b, 0);
      expect(held).toBeCloseTo(sector.time_s, 9);
    }
  });

  it('takes the surfaces of a condition, says which, and refuses one that a stage does not have', async () => {
    const dry = JSON.parse((await runCommand('time', car, weather, '--json')).out).stages[0];
    const wet = JSON.parse((await runCommand('time', car, weather, '--condition', 'wet', '--json')).out)
      .stages[0];
    expect(wet.time_s).toBeGreaterThan(dry.time_s);
    expect(dry.assumptions).toContain(
      'No condition chosen (of wet): the surfaces are as the stage file has them.',
    );
    expect(wet.assumptions).toContain(
      'Condition wet: gravel with grip factor 0.7; all else as the stage file has it.',
    );
    const { out, err, status } = await runCommand('time', car, weather, '--condition', 'wett');
    expect([out, status]).toEqual(['', 2]);
    expect(err.replace(folder, 'F')).toBe(
      [
        `F/weather.yaml:3:1: error: the stage has no condition wett [stage/condition]`,
        '',
        '  3 | conditions: {wet: {gravel: {grip: 0.7}}}',
        '    | ^^^^^^^^^^',
        'help: did you mean wet?',
        '',
        '1 fault, nothing timed',
        '',
      ].join('\n'),
    );
  });

  it('says where a car cannot go on, as an answer and not as a fault', async () => {
    const text = await runCommand('time', weak, wall);
    expect(text.status).toBe(0);
    expect(text.out).toMatch(/The car cannot finish: it stops at 0\.\d+ km/);
    const { out, status } = await runCommand('time', weak, wall, stage, '--json');
    expect(status).toBe(0);
    const [one, other] = JSON.parse(out).stages;
    expect(one.time_s).toBeNull();
    expect(one.stopped_at_m).toBeGreaterThan(300);
    expect(one.stopped_at_m).toBeLessThan(600);
    expect(other.time_s).toBeGreaterThan(0);
  });

  it('gives the same whatever was timed before, and in whatever order', async () => {
    const both = JSON.parse((await runCommand('time', car, stage, wall, '--json')).out).stages;
    const turned = JSON.parse((await runCommand('time', car, wall, stage, '--json')).out).stages;
    expect(turned).toEqual([both[1], both[0]]);
  });

  it('refuses a start speed that the road does not allow, with the greatest that it does', async () => {
    const fast = write('fast.yaml', 'stage: Fast\nroad: road.csv\nstart: {rolling: 300 km/h}\n');
    const { out, err, status } = await runCommand('time', car, fast);
    expect(status).toBe(2);
    expect(out).toBe('');
    const most = /at most ([\d.]+) km\/h/.exec(err)?.[1];
    const allowed = write('allowed.yaml', `stage: Fast\nroad: road.csv\nstart: {rolling: ${most} km/h}\n`);
    expect((await runCommand('time', car, allowed)).status).toBe(0);
  });

  it('writes one row a station, and leaves nothing half written', async () => {
    const path = join(folder, 'run.csv');
    const { status } = await runCommand('time', car, stage, '--channels', path, '--step', '2m');
    expect(status).toBe(0);
    const lines = readFileSync(path, 'utf8').trimEnd().split('\n');
    expect(lines[0]).toBe(
      'stage,station_m,time_s,speed_kmh,gear,engine_rpm,ax_mps2,ay_mps2,normal_load_N,drive_share,brake_share,held_by,surface',
    );
    expect(lines.length).toBeGreaterThan(400);
    expect(lines[1]).toMatch(/^"Short, sharp",0,0,0,1,/);
    const right = lines.find((line) => line.startsWith('"Short, sharp",330,'))?.split(',');
    expect(Number(right?.[8])).toBeLessThan(0); // a right-hand bend: lateral acceleration to the right
    const missing = await runCommand('time', car, stage, '--channels', join(folder, 'nowhere', 'run.csv'));
    expect(missing.status).toBe(2);
    expect(missing.err).toContain('cannot be written');
    expect(readdirSync(folder).filter((name) => name.endsWith('.tmp'))).toEqual([]);
  });

  it.each([
    ['2', /no unit/],
    ['3m', /at most 2 m/],
    ['0 m', /over 0 m/],
    ['5 kg', /length/],
  ])('refuses --step %s', async (step, why) => {
    const { out, err, status } = await runCommand('time', car, stage, '--step', step);
    expect(status).toBe(2);
    expect(out).toBe('');
    expect(err).toMatch(why);
  });

  it('says what is wrong with every file before it times any', async () => {
    const bad = write('bad.yaml', 'stage: Bad\nroad: nowhere.csv\n');
    const { out, err, status } = await runCommand('time', join(folder, 'no-car.yaml'), bad);
    expect(status).toBe(2);
    expect(out).toBe('');
    expect(err).toContain('no-car.yaml');
    expect(err).toContain('nowhere.csv');
  });

  it('shows what the readers warn of once, and goes on', async () => {
    const text = 'stage: Odd\nroad: road.csv\nsurfaces: {gravel: {grip: 1}, ice: {grip: 0.2}}\n';
    const odd = write('odd.yaml', text);
    const { out, err, status } = await runCommand('time', car, odd, odd);
    expect(status).toBe(0);
    expect(out).toContain('Forecast');
    expect(err).toBe(
      `${odd}:3:31: warning: the road has no surface ice [stage/surface-unused]\n\n` +
        '  3 | surfaces: {gravel: {grip: 1}, ice: {grip: 0.2}}\n' +
        '    |                               ^^^\n' +
        'help: its surfaces are gravel\n\n',
    );
  });

  it('says which argument goes where, once, when they are in the wrong order', async () => {
    const { out, err, status } = await runCommand('time', stage, wall, car);
    expect(status).toBe(2);
    expect(out).toBe('');
    expect(err).toBe(
      `${stage}: error: a stage stands where the car is due, and the car ${car} among the stages [file/order]\n` +
        `help: write the car first: splitcast time ${car} ${stage} ${wall}\n\n1 fault, nothing timed\n`,
    );
  });

  it.each([
    [
      'road.csv',
      'stage.yaml',
      'road.csv',
      'a road table, expected a car',
      'the stage that names this road; ',
    ],
    [
      'car.yaml',
      'road.csv',
      'road.csv',
      'a road table, expected a stage',
      'the stage that names this road; ',
    ],
    [
      'engine.csv',
      'stage.yaml',
      'engine.csv',
      'an engine table, expected a car',
      'the car that names this engine; ',
    ],
    ['car.yaml', 'weak.yaml', 'weak.yaml', 'a car, expected a stage', ''],
    ['event.yaml', 'stage.yaml', 'event.yaml', 'an event, expected a car', ''],
  ])('refuses %s %s by what they are', async (first, second, wrong, what, hint) => {
    write('event.yaml', 'event: Two days\ncar: car.yaml\n');
    const { err, status } = await runCommand('time', join(folder, first), join(folder, second));
    expect(status).toBe(2);
    expect(err).toBe(
      `${join(folder, wrong)}: error: the file is ${what} [file/order]\n` +
        `help: ${hint && 'give '}${hint}write the car first, then its stages: splitcast time CAR STAGE...\n\n` +
        '1 fault, nothing timed\n',
    );
  });

  it('refuses an unknown option, and helps', async () => {
    expect((await runCommand('time', car, stage, '--setp', '1m')).status).toBe(2);
    const help = await runCommand('--help');
    expect(help.status).toBe(0);
    expect(help.out).toContain('splitcast time car.yaml stage.yaml');
  });

  it('prints the help of a command, and refuses one that it does not have', async () => {
    const [asked, flagged] = [await runCommand('help', 'vary'), await runCommand('vary', '--help')];
    expect(asked.out).toContain('Usage: splitcast vary');
    expect(asked).toEqual(flagged);
    const hint = 'help: `splitcast help COMMAND` prints how a command is written\n';
    expect(await runCommand('help', 'tyme')).toEqual({
      status: 2,
      out: '',
      err: `error: unknown command 'tyme'\n${hint}`,
    });
    expect((await runCommand('time', car)).err).toBe(`error: missing required argument 'stage'\n${hint}`);
  });
});
