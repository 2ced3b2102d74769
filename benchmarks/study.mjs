// Set-ups tried one after the other, and in threads: solves a second and core, two threads over one, memory. Needs a build.
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { BASE, readEvent, totalTime } from '../dist/index.js';

const folder = mkdtempSync(join(tmpdir(), 'splitcast-study-bench-'));
const line = (what, value, unit, digits, target, atLeast = true) => {
  const met = target === undefined || (atLeast ? value >= target : value <= target);
  const goal = target === undefined ? '' : `${atLeast ? '≥' : '≤'} ${target} ${met ? 'met' : 'MISSED'}`;
  console.log(`${what}\t${value.toFixed(digits)}${unit}\t${goal}`);
};

/** Time of the processor that a task takes [ms], which other work on the machine moves less than the clock. */
function cpuOf(task, times) {
  const begin = process.cpuUsage();
  for (let i = 0; i < times; i++) task();
  const { user, system } = process.cpuUsage(begin);
  return (user + system) / 1000 / times;
}

/** Bends, straights, dips and three surfaces over so many metres. */
function road(length) {
  const rows = ['station_m,curvature_1pm,grade_pct,surface'];
  const surfaces = ['gravel', 'asphalt', 'gravel'];
  for (let s = 0; s <= length; s += 40) {
    const bend = s % 200 === 120 ? 0.012 + 0.02 * Math.abs(Math.sin(s)) : 0;
    const side = Math.sin(0.7 * s) > 0 ? 1 : -1;
    rows.push(
      `${s},${(side * bend).toFixed(5)},${(4 * Math.sin(s / 700)).toFixed(3)},${surfaces[Math.floor((3 * s) / (length + 1))]}`,
    );
  }
  return `${rows.join('\n')}\n`;
}

const car = (engine, gears) => `car: Bench car
mass: 1300 kg
pace: 0.92
tyre: {radius: 0.31 m, grip: {gravel: 0.6, asphalt: 0.95}}
air: {drag_area: 0.75 m^2, downforce_area: 0.3 m^2}
engine: {${engine}}
driveline: {driven: all${gears}}
brakes: {force: 15 kN}
`;
const write = (name, text) => writeFileSync(join(folder, name), text);
write('engine.csv', 'engine_rpm,torque_Nm\n1000,150\n2500,270\n4000,300\n6000,270\n7200,220\n');
write('plain.yaml', car('power: 170 kW', ', efficiency: 0.9'));
write(
  'geared.yaml',
  car('torque: engine.csv', ', gears: [3.0, 2.1, 1.6, 1.3, 1.08, 0.9], final_drive: 4.5, shift: 0.12 s'),
);
for (const [name, length] of [
  ['long', 20_000],
  ['short', 400],
]) {
  write(`${name}.csv`, road(length));
  write(
    `${name}.yaml`,
    `stage: Bench\nroad: ${name}.csv\nair: {density: 1.2 kg/m^3}\nsurfaces: {gravel: {rolling_resistance: 0.025}, asphalt: {rolling_resistance: 0.013}}\n`,
  );
}
const event = (name, carName, stage) => {
  write(name, `event: Bench\ncar: ${carName}\nstages: [${stage}]\n`);
  return join(folder, name);
};

try {
  for (const [kind, carName, target] of [
    ['plain', 'plain.yaml', 500],
    ['six gears', 'geared.yaml', 300],
  ]) {
    const study = readEvent(event('event.yaml', carName, 'long.yaml'));
    const setUp = (i) => ({
      ...BASE,
      settings: [
        ['mass', `${1200 + 0.5 * i} kg`],
        ['pace', 0.9 + 0.0001 * i],
      ],
    });
    for (let i = 0; i < 30; i++) study.evaluate(setUp(i));
    // Truths: what is timed is what a fresh study times; more grip and less mass are never slower.
    const fresh = totalTime(study, readEvent(join(folder, 'event.yaml')).evaluate(setUp(7)));
    if (totalTime(study, study.evaluate(setUp(7))) !== fresh)
      throw new Error('a study that was used times otherwise');
    let last = 0;
    for (const mass of [1000, 1200, 1400]) {
      const time = totalTime(study, study.evaluate({ ...BASE, settings: [['mass', `${mass} kg`]] }));
      if (!(time >= last)) throw new Error(`${mass} kg takes ${time} s, a lighter car ${last} s`);
      last = time;
    }
    const rounds = Array.from({ length: 12 }, (_, round) => [
      cpuOf(() => study.evaluate(setUp(round)), 10),
      cpuOf(() => study.car(setUp(round)), 10),
    ]);
    const least = Math.min(...rounds.map(([whole]) => whole));
    const leastCar = Math.min(...rounds.map(([, made]) => made));
    line(`set-ups over 20 km at 1 m, ${kind}, differing cars`, 1000 / least, ' a second and core', 0, target);
    line('  share of making the car anew from its file', (100 * leastCar) / least, ' %', 1, 15, false);
  }

  const short = readEvent(event('short-event.yaml', 'geared.yaml', 'short.yaml'));
  const heap = (from, to) => {
    for (let i = from; i < to; i++)
      short.evaluate({ ...BASE, settings: [['mass', `${1200 + 0.01 * i} kg`]] });
    globalThis.gc?.();
    return process.memoryUsage().rss / 1e6;
  };
  const before = heap(0, 2000);
  const after = heap(2000, 12_000);
  line('memory after 12 000 set-ups over that after 2000', after / before, ' ×', 2, 1.2, false);

  const path = event('event.yaml', 'geared.yaml', 'long.yaml');
  const run = (workers, count) => {
    const record = join(folder, `w${workers}.jsonl`);
    const over = `mass=1200kg..${1200 + count - 1}kg/1kg`;
    rmSync(record, { force: true });
    const begin = performance.now();
    const out = execFileSync(
      process.execPath,
      [
        'dist/cli.js',
        'vary',
        path,
        '--coarse',
        '--over',
        over,
        '--workers',
        String(workers),
        '--save',
        record,
      ],
      { encoding: 'utf8', stdio: ['ignore', 'pipe', 'ignore'] },
    );
    return { time: performance.now() - begin, out: out + readFileSync(record, 'utf8') };
  };
  // The difference of a long and a short run, so that the start of program and threads falls out.
  const rates = [0, 0];
  for (let round = 0; round < 3; round++) {
    const texts = [1, 2].map((workers) => {
      const [few, many] = [run(workers, 60), run(workers, 240)];
      rates[workers - 1] = Math.max(rates[workers - 1], 180_000 / (many.time - few.time));
      return many.out;
    });
    if (texts[0] !== texts[1]) throw new Error('two threads give other bytes than one');
  }
  line('set-ups over 20 km, six gears, one thread', rates[0], ' a second', 0);
  line('  two threads over one', rates[1] / rates[0], ' ×', 2, 1.9);
} finally {
  rmSync(folder, { recursive: true });
}
