/** A diagnostic as text for a terminal: what and where, the line with a caret below it, and what to write. */
import type { Diagnostic } from './diagnostic.ts';

// A line longer than this is cut round its caret. Common practice, no source.
const WIDTH = 100;
const TAB = '    ';

export function renderDiagnostic(d: Diagnostic): string {
  const where = d.line > 0 ? `${d.file}:${d.line}:${d.col}` : d.file;
  const head = `${escaped(where)}: ${d.severity}: ${escaped(d.message)} [${d.code}]\n`;
  const help = `help: ${escaped(d.help)}\n`;
  if (d.line === 0) return `${head}${help}`;
  const gutter = ' '.repeat(String(d.line).length);
  const { line, caret } = excerpt(d.source, d.col - 1, d.length);
  return `${head}\n  ${d.line} | ${line}\n  ${gutter} | ${caret}\n${help}`;
}

/** One character as it is shown, and the columns it takes up. */
function cell(char: string): { readonly text: string; readonly width: number } {
  if (char === '\t') return { text: TAB, width: TAB.length };
  const text = escaped(char);
  if (text !== char) return { text, width: text.length };
  if (/^\p{M}/u.test(char)) return { text, width: 0 };
  return { text, width: isWide(char.codePointAt(0)!) ? 2 : 1 };
}

/**
 * Shows what would move the cursor, colour the terminal or reorder the text: control and format characters, line
 * separators and lone surrogates.
 */
export function escaped(text: string): string {
  return text.replace(/[\p{Cc}\p{Cf}\p{Zl}\p{Zp}\p{Cs}]/gu, (char) => {
    const code = char.codePointAt(0)!;
    if (code < 0x100) return `\\x${code.toString(16).padStart(2, '0')}`;
    return code < 0x10000 ? `\\u${code.toString(16).padStart(4, '0')}` : `\\u{${code.toString(16)}}`;
  });
}

/** Characters of two columns: East Asian wide ones and pictures (the main blocks of Unicode's table). */
function isWide(code: number): boolean {
  return (
    (code >= 0x1100 && code <= 0x115f) ||
    (code >= 0x2e80 && code <= 0xa4cf && code !== 0x303f) ||
    (code >= 0xac00 && code <= 0xd7a3) ||
    (code >= 0xf900 && code <= 0xfaff) ||
    (code >= 0xfe30 && code <= 0xfe6f) ||
    (code >= 0xff00 && code <= 0xff60) ||
    (code >= 0xffe0 && code <= 0xffe6) ||
    (code >= 0x1f300 && code <= 0x1faff) ||
    (code >= 0x20000 && code <= 0x3fffd)
  );
}

/** The part of a line round the marked characters, and the line of carets below it. */
function excerpt(source: string, start: number, length: number): { line: string; caret: string } {
  const from = Math.max(0, start - WIDTH);
  // No character is cut in two: a window that begins inside a pair would show half of it.
  const chars = [...source.slice(from, start + WIDTH)];
  let offset = from;
  let line = '';
  let before = 0;
  let marked = 0;
  let column = 0;
  // What stands before the caret may take half of the width, so leave out its beginning until it does.
  const widths = chars.map((char) => cell(char));
  let lead = 0;
  for (let i = 0, at = from; i < chars.length && at < start; at += chars[i].length, i++)
    lead += widths[i].width;
  let total = 0;
  for (const w of widths) total += w.width;
  const cutStart = from > 0 || (total > WIDTH && lead > WIDTH / 2);
  let skip = cutStart ? Math.max(0, lead - WIDTH / 2) : 0;
  if (cutStart) {
    line = '…';
    column = 1;
    before = 1;
  }
  for (let i = 0; i < chars.length; i++) {
    const at = offset;
    offset += chars[i].length;
    const { text, width } = widths[i];
    if (skip > 0 && at < start) {
      skip -= width;
      continue;
    }
    if (column + width > WIDTH) {
      line += '…';
      break;
    }
    line += text;
    column += width;
    if (at < start) before += width;
    else if (at < start + length) marked += width;
  }
  if (from + chars.join('').length < source.length && !line.endsWith('…')) line += '…';
  return { line, caret: ' '.repeat(before) + '^'.repeat(Math.max(1, marked)) };
}
