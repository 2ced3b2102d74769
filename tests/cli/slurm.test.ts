/**
 * The array job that ships with the demo event, on a Slurm of one node that the test starts and stops (Debian's
 * slurm-wlm, munge): one task is killed and sent again, and the joined shares are the bytes of one run.
 */
import { execFileSync, spawn, spawnSync } from 'node:child_process';
import {
  copyFileSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { hostname, tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { eventFiles } from '../study/small-event.ts';

const root = fileURLToPath(new URL('../../', import.meta.url));
const found = (program: string) => spawnSync('sh', ['-c', `command -v ${program}`]).status === 0;
const lacking = ['sbatch', 'slurmctld', 'slurmd', 'munged'].filter((program) => !found(program));
const ready = lacking.length === 0 && process.getuid?.() === 0 && existsSync(`${root}dist/cli.js`);
if (!ready)
  console.log(
    `left out: the array job on Slurm, which needs slurm-wlm and munge (not found: ${lacking.join(', ') || 'nothing'}), the rights of root, and the built package`,
  );

const folder = mkdtempSync(join(tmpdir(), 'splitcast-slurm-'));
const path = (name: string) => join(folder, name);
const text = (name: string) => readFileSync(path(name), 'utf8');
const env = {
  ...process.env,
  SLURM_CONF: path('slurm.conf'),
  SPLITCAST: `${process.execPath} ${root}dist/cli.js`,
  RANK_FLAGS: '--draws 60 --pairs --step 2m',
};
const slurm = (program: string, ...argv: string[]) =>
  execFileSync(program, argv, { cwd: folder, env, encoding: 'utf8' });
const sleep = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));
const started: number[] = [];

async function until(what: string, done: () => boolean): Promise<void> {
  for (let i = 0; i < 600; i++) {
    if (done()) return;
    await sleep(100);
  }
  throw new Error(`waited a minute for ${what}`);
}

/** Starts a daemon that stays in the foreground, so that it can be ended by its own number. */
function start(program: string, ...argv: string[]): void {
  const child = spawn(program, argv, { cwd: folder, env, stdio: 'ignore' });
  started.push(child.pid!);
}

describe.skipIf(!ready)('the array job', () => {
  beforeAll(async () => {
    const host = hostname().split('.')[0];
    for (const name of ['state', 'spool', 'munge']) mkdirSync(path(name), { mode: 0o700 });
    writeFileSync(
      path('slurm.conf'),
      `ClusterName=one
SlurmctldHost=${host}(127.0.0.1)
AuthType=auth/munge
AuthInfo=socket=${path('munge/socket')}
SlurmUser=root
SlurmdUser=root
StateSaveLocation=${path('state')}
SlurmdSpoolDir=${path('spool')}
SlurmctldLogFile=${path('slurmctld.log')}
SlurmdLogFile=${path('slurmd.log')}
SlurmctldPidFile=${path('slurmctld.pid')}
SlurmdPidFile=${path('slurmd.pid')}
SlurmctldPort=17817
SlurmdPort=17818
ProctrackType=proctrack/pgid
TaskPlugin=task/none
SelectType=select/cons_tres
SelectTypeParameters=CR_Core
ReturnToService=2
MpiDefault=none
NodeName=${host} NodeAddr=127.0.0.1 CPUs=2 RealMemory=1000 State=UNKNOWN
PartitionName=all Nodes=ALL Default=YES MaxTime=INFINITE State=UP
`,
    );
    // A key and a socket of our own: nothing of the machine is used or changed.
    writeFileSync(path('munge/key'), Buffer.alloc(1024, 7), { mode: 0o600 });
    start(
      'munged',
      '--foreground',
      '--force',
      `--key-file=${path('munge/key')}`,
      `--socket=${path('munge/socket')}`,
      `--pid-file=${path('munge/pid')}`,
      `--log-file=${path('munge/log')}`,
      `--seed-file=${path('munge/seed')}`,
    );
    await until('munge', () => existsSync(path('munge/socket')));
    start('slurmctld', '-D');
    start('slurmd', '-D');
    await until(
      'the node',
      () => spawnSync('sinfo', ['-h', '-o', '%T'], { env, encoding: 'utf8' }).stdout.trim() === 'idle',
    );
    for (const [name, content] of Object.entries(eventFiles)) writeFileSync(path(name), content);
    copyFileSync(`${root}stages/tarvenmoor/rank.slurm`, path('rank.slurm'));
  }, 120_000);

  afterAll(async () => {
    for (const pid of started.reverse()) {
      try {
        process.kill(pid, 'SIGTERM');
      } catch {} // it has ended by itself
    }
    await sleep(500);
  });

  it('gives the bytes of one run, one of its tasks killed and sent again', { timeout: 300_000 }, async () => {
    const job = slurm('sbatch', '--parsable', '--array=1-3', '-o', 'out-%a.txt', 'rank.slurm').trim();
    const lines = () =>
      existsSync(path('rank-share-2.jsonl')) ? text('rank-share-2.jsonl').split('\n').length : 0;
    await until('the second share to begin', () => lines() > 5);
    slurm('scancel', `${job}_2`);
    await until('the other shares', () => slurm('squeue', '-h', '-o', '%i').trim() === '');
    expect(text('out-1.txt')).toMatch(/^Share 1 of 3: \d+ of 310 set-ups, in rank-share-1\.jsonl$/m);
    expect(text('out-2.txt')).not.toContain('Share 2 of 3');
    const kept = lines();
    execFileSync('sbatch', ['--wait', '--array=2', '-o', 'again-%a.txt', 'rank.slurm'], {
      cwd: folder,
      env: { ...env, SHARES: '3' },
    });
    expect(text('again-2.txt')).toContain('Share 2 of 3');
    expect(lines()).toBeGreaterThan(kept - 2);
    const cli = (...argv: string[]) => slurm(process.execPath, `${root}dist/cli.js`, ...argv);
    cli('merge', 'merged.jsonl', ...[1, 2, 3].map((k) => `rank-share-${k}.jsonl`));
    const one = cli('rank', 'event.yaml', ...env.RANK_FLAGS.split(' '), '--save', 'one.jsonl');
    expect(text('merged.jsonl')).toBe(text('one.jsonl'));
    const joined = cli(
      'rank',
      'event.yaml',
      ...env.RANK_FLAGS.split(' '),
      '--save',
      'merged.jsonl',
      '--resume',
    );
    expect(joined).toBe(one);
  });
});

afterAll(() => rmSync(folder, { recursive: true, force: true }));
