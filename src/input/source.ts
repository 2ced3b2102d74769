import type { Place } from './diagnostic.ts';
import type { Faults } from './faults.ts';
import type { FileAccess } from './file-access.ts';

/** A whole file, where no line is to blame. */
export const wholeFile = (file: string): Place => ({ file, line: 0, col: 0, length: 0, source: '' });

/** The text of a file and the places in it. */
export class Source {
  readonly file: string;
  readonly text: string;

  constructor(file: string, text: string) {
    this.file = file;
    // Tables from old programs end their lines with CR alone; the exchange keeps every offset.
    this.text = text.includes('\n') ? text : text.replaceAll('\r', '\n');
  }

  /** The place of the characters from `start` to `end`, cut at the end of the first line. */
  place(start: number, end: number): Place {
    const { text } = this;
    const at = Math.max(0, Math.min(start, text.length));
    const lineStart = at === 0 ? 0 : text.lastIndexOf('\n', at - 1) + 1;
    let line = 1;
    for (let i = text.indexOf('\n'); i !== -1 && i < lineStart; i = text.indexOf('\n', i + 1)) line++;
    let lineEnd = text.indexOf('\n', lineStart);
    if (lineEnd === -1) lineEnd = text.length;
    if (text[lineEnd - 1] === '\r' && lineEnd - 1 >= at) lineEnd--;
    const length = Math.max(1, Math.min(end, lineEnd) - at);
    return { file: this.file, line, col: at - lineStart + 1, length, source: text.slice(lineStart, lineEnd) };
  }

  /** Offset of the first character of a line, counted from 1. */
  lineStart(line: number): number {
    let start = 0;
    for (let i = 1; i < line; i++) start = this.text.indexOf('\n', start) + 1;
    return start;
  }

  /** The whole of a line, without its ending. */
  line(line: number): string {
    const start = this.lineStart(line);
    const end = this.text.indexOf('\n', start);
    return this.text.slice(start, end === -1 ? undefined : end).replace(/\r$/, '');
  }
}

const kB = (bytes: number) =>
  bytes >= 1e6 ? `${+(bytes / 1e6).toFixed(1)} MB` : `${Math.ceil(bytes / 1e3)} kB`;

/**
 * Reads a file as UTF-8 text.
 * @param namedAt where another file names this one; a file that cannot be read is reported there
 * @returns null where the file cannot be read or is not text; the fault is reported
 */
export function readSource(
  path: string,
  files: FileAccess,
  limit: number,
  faults: Faults,
  namedAt: Place | null,
): Source | null {
  let bytes: Uint8Array;
  try {
    bytes = files.read(path, limit);
    if (bytes.length > limit) throw Object.assign(new Error('too large'), { code: 'EFBIG' });
  } catch (error) {
    reportUnreadable(path, error, limit, faults, namedAt);
    return null;
  }
  if (bytes.length === 0) {
    faults.error(
      'file/empty',
      wholeFile(path),
      'the file is empty',
      'docs/files.md shows a whole example of each file',
    );
    return null;
  }
  if ((bytes[0] === 0xff && bytes[1] === 0xfe) || (bytes[0] === 0xfe && bytes[1] === 0xff)) {
    faults.error(
      'file/encoding',
      wholeFile(path),
      'the text is UTF-16, expected UTF-8',
      'save the file again as UTF-8',
    );
    return null;
  }
  const nul = bytes.indexOf(0);
  if (nul !== -1) {
    faults.error(
      'file/binary',
      wholeFile(path),
      `byte ${nul + 1} is zero, so this is no text; expected a text file`,
      'give the text file itself; a spreadsheet must first be saved as CSV',
    );
    return null;
  }
  try {
    return new Source(path, new TextDecoder('utf-8', { fatal: true }).decode(bytes));
  } catch {
    const source = new Source(path, new TextDecoder('utf-8').decode(bytes));
    const at = source.text.indexOf('\ufffd');
    faults.error(
      'file/encoding',
      source.place(at, at + 1),
      'a character is not UTF-8',
      'save the file again as UTF-8 (it may be in an older Windows encoding)',
    );
    return null;
  }
}

function reportUnreadable(
  path: string,
  error: unknown,
  limit: number,
  faults: Faults,
  namedAt: Place | null,
): void {
  const code = (error as { code?: unknown } | null)?.code;
  const place = namedAt ?? wholeFile(path);
  const from = namedAt === null ? 'check the path' : `the path is taken from the folder of ${namedAt.file}`;
  const slash = path.includes('\\') ? '; write / between folders' : '';
  if (code === 'ENOENT' || code === 'ENOTDIR') {
    faults.error('file/missing', place, `there is no file ${path}`, from + slash);
  } else if (code === 'EISDIR') {
    faults.error('file/directory', place, `${path} is a folder, expected a file`, 'name a file inside it');
  } else if (code === 'EACCES' || code === 'EPERM') {
    faults.error('file/unreadable', place, `${path} may not be read`, 'give yourself the right to read it');
  } else if (code === 'EFBIG') {
    faults.error(
      'file/too-large',
      place,
      `${path} is larger than ${kB(limit)}, the most that is read for this kind of file`,
      'is it the right file?',
    );
  } else {
    const why = error instanceof Error ? error.message : String(error);
    faults.error('file/unreadable', place, `${path} cannot be read: ${why}`, from);
  }
}
