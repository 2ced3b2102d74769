/** What docs/survey.md shows is what the command does. */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { main } from '../../src/cli/main.ts';
import { packageFile } from '../../src/cli/package-file.ts';

const page = readFileSync(packageFile('docs/survey.md'), 'utf8');
const block = (kind: string) =>
  new RegExp(`^\`\`\`${kind} example\\n([\\s\\S]*?)^\`\`\`$`, 'm').exec(page)![1];

test('the example prints what the page shows', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'splitcast-'));
  try {
    const [, ...argv] = block('sh').trim().replace('FOLDER', folder).split(' ');
    let out = '';
    const status = await main(argv, {
      out: (text) => {
        out += text;
      },
      err: (text) => {
        out += text;
      },
    });
    const said = out.replaceAll(folder, 'FOLDER');
    expect(said, 'put what the command prints into docs/survey.md').toBe(block('text'));
    expect(status).toBe(0);
  } finally {
    rmSync(folder, { recursive: true });
  }
});

test('the page names every flag', async () => {
  let help = '';
  await main(['survey', '--help'], {
    out: (text) => {
      help += text;
    },
    err: () => {},
  });
  const flags = [...help.matchAll(/^ {2}(--\w+)/gm)].map(([, flag]) => flag);
  expect(flags.length).toBeGreaterThan(10);
  for (const flag of flags) expect(page).toContain(`\`${flag}`);
});
