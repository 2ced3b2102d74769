/** The example of docs/study.md is what the command prints and draws. */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { main } from '../../src/cli/main.ts';

it('docs/study.md shows what vary prints and draws for the example event', { timeout: 120_000 }, async () => {
  const root = new URL('../../', import.meta.url);
  const docs = readFileSync(new URL('docs/study.md', root), 'utf8');
  const folder = mkdtempSync(join(tmpdir(), 'splitcast-docs-'));
  try {
    const chart = join(folder, 'map.svg');
    let out = '';
    const event = new URL('stages/tarvenmoor/event.yaml', root).pathname;
    const over = ['driveline.final_drive=4.2..5.0/0.2', 'driveline.gears[6]=0.80..0.95/0.05'];
    const argv = ['vary', event, '--loop', 'Morning', ...over.flatMap((axis) => ['--over', axis])];
    const io = { out: (text: string) => (out += text), err: () => undefined };
    expect(await main([...argv, '--workers', '1', '--chart', chart], io)).toBe(0);
    const shown = out.slice(0, out.indexOf('\n\nAssumed:'));
    expect(docs).toContain(`\`\`\`text\n${shown}\n\`\`\`\n`);
    expect(readFileSync(new URL('docs/img/final-drive.svg', root), 'utf8')).toBe(readFileSync(chart, 'utf8'));
  } finally {
    rmSync(folder, { recursive: true });
  }
});
