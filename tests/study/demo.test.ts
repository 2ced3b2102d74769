/** The example event, and the files that docs/study.md shows, are sound. */
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { nodeFiles } from '../../src/cli/node-files.ts';
import { Faults } from '../../src/input/faults.ts';
import type { FileAccess } from '../../src/input/file-access.ts';
import { renderDiagnostic } from '../../src/input/render-diagnostic.ts';
import { openStudy, type Study } from '../../src/study/study.ts';

const root = fileURLToPath(new URL('../../', import.meta.url));
const folder = `${root}stages/tarvenmoor/`;

function sound(files: FileAccess): Study {
  const faults = new Faults();
  const study = openStudy(`${folder}event.yaml`, files, { step: 2 }, faults);
  expect(faults.all().map(renderDiagnostic)).toEqual([]);
  return study!;
}

describe('the example event', () => {
  it('is read without a fault or warning', () => {
    const study = sound(nodeFiles);
    expect(study.courses.map(({ loop, stage, condition }) => [loop, stage.name, condition])).toEqual([
      ['Morning', 'Aldervane Wood', 'dry'],
      ['Morning', 'Aldervane Wood', 'wet'],
      ['Morning', 'Tarven Moor', 'dry'],
      ['Morning', 'Tarven Moor', 'wet'],
      ['Afternoon', 'Skorrick Climb', 'dry'],
      ['Afternoon', 'Skorrick Climb', 'wet'],
    ]);
  });
});

describe('docs/study.md', () => {
  const page = readFileSync(`${root}docs/study.md`, 'utf8');
  const block = (name: string) => {
    const found = new RegExp(`^\`${name}\`\\n\\n\`\`\`yaml\\n([\\s\\S]*?)^\`\`\``, 'm').exec(page);
    if (found === null) throw new Error(`docs/study.md shows no ${name}`);
    return found[1];
  };
  const shown: FileAccess = {
    read(path, limit) {
      const text = (content: string) => new TextEncoder().encode(content);
      // `cost` and `hours` are limits of the event as shown, so they need not be in every change.
      if (path.endsWith('/event.yaml')) return text(block('event.yaml'));
      if (path.endsWith('/changes.yaml')) return text(block('changes.yaml'));
      if (path.endsWith('/other.csv')) return text('engine_rpm,torque_Nm\n1000,140\n5000,330\n7800,250\n');
      return nodeFiles.read(path, limit);
    },
  };

  it('shows an event and changes that are sound', () => {
    const study = sound(shown);
    expect(study.event.changes!.changes).toHaveLength(7);
    expect(study.event.changes!.settings).toHaveLength(2);
  });

  it('names every key of both files', () => {
    for (const key of [
      'event',
      'car',
      'changes',
      'loops',
      'stages',
      'load',
      'conditions',
      'limits',
      'least',
      'most',
      'step',
      'uncertain',
      'sd',
      'range',
      'change',
      'group',
      'set',
      'add',
      'scale',
      'displacement',
      'takes',
      'ranges',
      'from',
      'to',
      'values',
      'teeth',
      'steps',
    ])
      expect(page).toMatch(new RegExp(`\\b${key}\\b`));
  });
});
