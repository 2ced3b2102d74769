// `splitcast time` from the built package, in a process of its own, over `node -e 0`.
import { execFileSync } from 'node:child_process';

const env = { ...process.env, NO_COLOR: '1' };
delete env.NODE_EXTRA_CA_CERTS; // reading certificates is no part of either
delete env.NODE_OPTIONS;
const folder = 'stages/tarvenmoor';
const time = ['dist/cli.js', 'time', `${folder}/car.yaml`, `${folder}/tarven-moor.yaml`];
const run = (args) => execFileSync(process.execPath, args, { env, encoding: 'utf8' });

// Truth: the sectors of the data add up to the stage.
const [stage] = JSON.parse(run([...time, '--json'])).stages;
const sum = stage.sectors.reduce((total, sector) => total + sector.time_s, 0);
if (!(Math.abs(sum - stage.time_s) < 1e-9))
  throw new Error(`sectors add up to ${sum} s, not ${stage.time_s} s`);

const least = { node: Infinity, help: Infinity, time: Infinity };
const tasks = { node: ['-e', '0'], help: ['dist/cli.js', '--help'], time };
for (let round = 0; round < 20; round++) {
  for (const [name, args] of Object.entries(tasks)) {
    const begin = performance.now();
    run(args);
    least[name] = Math.min(least[name], performance.now() - begin);
  }
}
const line = (what, value, unit, target) =>
  console.log(
    `${what}\t${value}${unit}\t${target ? `≤ ${target} ${value <= target ? 'met' : 'MISSED'}` : ''}`,
  );
line('`node -e 0`', (least.node / 1000).toFixed(3), ' s');
line('`splitcast --help`', (least.help / 1000).toFixed(3), ' s');
line('`splitcast time`, 18 km', (least.time / 1000).toFixed(3), ' s', 0.35);
line('  over `node -e 0`', (least.time / least.node).toFixed(2), ' ×', 4);
