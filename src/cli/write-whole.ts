import { closeSync, fsyncSync, openSync, renameSync, unlinkSync, writeSync } from 'node:fs';

/** Writes a file wholly or not at all: into a temporary file beside it, then renamed. */
export function writeWhole(path: string, chunks: Iterable<string>): void {
  const temporary = `${path}.${process.pid}.tmp`;
  const file = openSync(temporary, 'w');
  try {
    try {
      for (const chunk of chunks) writeSync(file, chunk);
      fsyncSync(file);
    } finally {
      closeSync(file);
    }
    renameSync(temporary, path);
  } catch (error) {
    unlinkSync(temporary);
    throw error;
  }
}
