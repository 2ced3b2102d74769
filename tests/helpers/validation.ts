/**
 * Checks against values printed outside the project, and the record of them that docs/validation.md is written from.
 *
 * An expected value is text, as printed: its digits are the tolerance. Nothing else is.
 */
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { expect, it } from 'vitest';

/** C read in a retrieved text; C2 in one that quotes the source; M from memory; D derived here, two methods agree. */
export type Mark = 'C' | 'C2' | 'M' | 'D';

/** One comparison of the model with a printed value. */
export interface Check {
  readonly section: string; //  heading in docs/validation.md
  readonly check: string; //    what was driven or read off
  readonly source: string;
  readonly mark: Mark;
  readonly expected: string; // as printed; its digits are the tolerance
  readonly got: number;
  readonly unit: string;
  readonly step: number | null; // grid of the run [m]; null where the value is read off the car or road
  readonly flawed?: string; //     what a source prints instead, where that is known to be wrong or rounded
}

/** One comparison with bounds that another method gives. */
export interface Between extends Omit<Check, 'expected' | 'flawed'> {
  readonly least: number;
  readonly greatest: number;
  readonly grid: number; //   what the grids of both methods may be off by
  readonly digits: number; // shown
}

/** A check as its row shows it. */
type Row = Omit<Check, 'got'> & { readonly shown: string };

/** The checks of one test file: one block of docs/validation.md. */
export class Validation {
  private readonly rows: Row[] = [];
  private readonly name: string;

  constructor(name: string) {
    this.name = name;
  }

  /** Records a check and fails the test unless `got`, rounded to the digits printed, is what is printed. */
  check(row: Check): void {
    this.rows.push({ ...row, shown: printed(row) });
    expect(printed(row), `${row.section}: ${row.check} (computed ${row.got})`).toBe(row.expected);
  }

  /** Records a check and fails the test unless `got` lies between the bounds, but for the grids. */
  between({ least, greatest, grid, digits, got, ...row }: Between): void {
    const [low, high, off] = [least, greatest, grid].map((x) => x.toFixed(digits));
    this.rows.push({ ...row, expected: `${low} to ${high}, ± ${off}`, shown: got.toFixed(digits) });
    expect(got, `${row.section}: ${row.check}`).toBeGreaterThan(least - grid);
    expect(got, `${row.section}: ${row.check}`).toBeLessThan(greatest + grid);
  }

  /** Last in each file: the committed block is what this run gives; with VALIDATION=DIR the block is written there. */
  compareWithDocs(): void {
    it('docs/validation.md shows what this run gives', () => {
      const block = renderBlock(this.rows);
      const into = process.env['VALIDATION'];
      if (into) {
        mkdirSync(into, { recursive: true });
        writeFileSync(`${into}/${this.name}.md`, block);
        return;
      }
      const docs = readFileSync(new URL('../../docs/validation.md', import.meta.url), 'utf8');
      const begin = `<!-- ${this.name}: written by scripts/write-validation.mjs -->\n`;
      const from = docs.indexOf(begin);
      const to = docs.indexOf(`<!-- end of ${this.name} -->`);
      expect(from >= 0 && to > from, `docs/validation.md has no block "${this.name}"`).toBe(true);
      expect(docs.slice(from + begin.length, to), 'run node scripts/write-validation.mjs').toBe(block);
    });
  }
}

function digits(text: string): number {
  const point = text.indexOf('.');
  return point < 0 ? 0 : text.length - point - 1;
}

function printed({ expected, got }: Pick<Check, 'expected' | 'got'>): string {
  return got.toFixed(digits(expected));
}

/** Sections in the order of their first check; long tables fold. */
function renderBlock(rows: readonly Row[]): string {
  const sections = new Map<string, Row[]>();
  for (const row of rows) sections.set(row.section, [...(sections.get(row.section) ?? []), row]);
  let text = '';
  for (const [section, checks] of sections) {
    text += `\n### ${section}\n\n`;
    const table = renderTable(checks);
    text +=
      checks.length > LONG
        ? `<details><summary>${checks.length} checks</summary>\n\n${table}\n</details>\n`
        : table;
  }
  return `${text}\n`;
}

/** Rows from which on a table is folded. */
const LONG = 24;

function renderTable(checks: readonly Row[]): string {
  const flawed = checks.some((row) => row.flawed !== undefined);
  const heads = ['check', 'source', 'expected', 'got', 'unit', 'step'];
  if (flawed) heads.push('source prints', 'off by');
  const line = (cells: readonly string[]) => `| ${cells.join(' | ')} |\n`;
  let text = line(heads) + line(heads.map((head) => (NUMBERS.has(head) ? '--:' : '---')));
  for (const row of checks) {
    const step = row.step === null ? '–' : `${row.step} m`;
    const cells = [row.check, `${row.source} (${row.mark})`, row.expected, row.shown, row.unit, step];
    if (flawed) cells.push(row.flawed ?? '', row.flawed === undefined ? '' : offBy(row.flawed, row));
    text += line(cells);
  }
  return text;
}

const NUMBERS = new Set(['expected', 'got', 'step', 'source prints', 'off by']);

function offBy(flawed: string, { expected }: Row): string {
  const share = Number(flawed) / Number(expected) - 1;
  if (Math.abs(share) < 1e-6) return 'last digit';
  return `${share < 0 ? '−' : '+'}${Math.abs(100 * share).toFixed(2)} %`;
}

/** The rows of a CSV in tests/published/data, one object a row, cells as printed. */
export function readData(file: string): Record<string, string>[] {
  const text = readFileSync(new URL(`../published/data/${file}`, import.meta.url), 'utf8');
  const [head, ...lines] = text.trim().split(/\r?\n/);
  const names = head.split(',');
  return lines.map((row) => {
    const cells = row.split(',');
    return Object.fromEntries(names.map((name, i) => [name, cells[i]]));
  });
}
