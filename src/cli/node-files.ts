import { closeSync, fstatSync, openSync, readSync } from 'node:fs';
import type { FileAccess } from '../input/file-access.ts';

const CHUNK = 1 << 16;

/** The disk, as the readers see it. Never takes more than the limit, from a pipe neither. */
export const nodeFiles: FileAccess = {
  read(path, limit) {
    const file = openSync(path, 'r');
    try {
      const { size } = fstatSync(file);
      const tooLarge = () => Object.assign(new Error(`${path} is over ${limit} bytes`), { code: 'EFBIG' });
      if (size > limit) throw tooLarge();
      // A pipe tells no size, and a file may grow while it is read: take what comes, up to the limit.
      let bytes = new Uint8Array(size > 0 ? size + 1 : CHUNK);
      let used = 0;
      for (;;) {
        const got = readSync(file, bytes, used, bytes.length - used, null);
        if (got === 0) return bytes.subarray(0, used);
        used += got;
        if (used > limit) throw tooLarge();
        if (used === bytes.length) {
          const more = new Uint8Array(2 * used);
          more.set(bytes);
          bytes = more;
        }
      }
    } finally {
      closeSync(file);
    }
  },
};
