import type { Place } from '../input/diagnostic.ts';
import type { Faults } from '../input/faults.ts';
import type { Rows } from '../input/table.ts';
import type { Header } from '../input/table-header.ts';

// Each needs its own grip in the car file; a road book tells a dozen apart. Common practice, no source.
const MOST_SURFACES = 100;

/** The column `surface` as indices, each name once, and where each is first written. */
export interface SurfaceColumn {
  readonly surface: Int32Array;
  readonly surfaceNames: readonly string[];
  readonly firstUse: ReadonlyMap<string, Place>;
}

/** Reads the column `surface`; an empty cell is reported. */
export function readSurfaces(header: Header, rows: Rows, faults: Faults): SurfaceColumn {
  const names = new Map<string, number>();
  const firstUse = new Map<string, Place>();
  const surface = new Int32Array(rows.n);
  const written = rows.texts('surface');
  for (let i = 0; i < rows.n; i++) {
    const name = written[i];
    let index = names.get(name);
    if (name === '') {
      const place = faults.full(header.source.file, 'road/surface') ? header.whole : rows.place(i, 'surface');
      const above = i > 0 ? written[i - 1] : '';
      faults.error(
        'road/surface',
        place,
        'surface is empty; expected a name such as gravel',
        above === '' ? 'write the surface of this row' : `write ${above} again if it goes on`,
      );
      index = 0;
    } else if (index === undefined && names.size === MOST_SURFACES) {
      faults.error(
        'road/surface',
        rows.place(i, 'surface'),
        `the column surface names more than ${MOST_SURFACES} surfaces`,
        'name the kind of surface, such as gravel; free text belongs into the column note',
      );
      break;
    } else if (index === undefined) {
      index = names.size;
      names.set(name, index);
      firstUse.set(name, rows.place(i, 'surface'));
    }
    surface[i] = index;
  }
  return { surface, surfaceNames: [...names.keys()], firstUse };
}
