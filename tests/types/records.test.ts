import { expect, test } from 'vitest';
import type { Checked, Entry } from '../../language/grammar/generated/ast.ts';
import type { Context } from '../../language/types/context.ts';
import { boundsOf, checkRecorded, kindChecked, typeRead, typeRestedOn } from '../../language/types/records.ts';
import { read } from '../support.ts';

const text = `kind lathe {
  toplevel
  has chuck*
  speed: Frequency default 5 Hz
  check runs {
    stage full_load
    how "Let it run"
  }
}
kind chuck {
  inside lathe
  jaws: Count default 3
  twice(of: Count): Count = 2 * of
  has jaw*
  check runs_true {
    stage before_power
    how "Turn it"
    highest 0.05 mm
    with part, jaws
  }
}
kind jaw {
  width: Length
}
kind wide_chuck is chuck {
  check runs_true {
    stage before_power
    how "Turn it slowly"
    lowest 1 rad
  }
}
lathe L {
  chuck left
  wide_chuck right
  checked runs_true of left on 2026-03-02
  checked runs_true of right on 2026-03-02
  checked runs on 2026-03-02
  checked runs_true on 2026-03-02
  checked nothing of left on 2026-03-02
}
`;
const { project, file } = read(text);
const [machine] = project.machines(file);
const entry = machine?.entry as Entry;
const records = (entry.body?.members ?? []).filter((m): m is Checked => m.$type === 'Checked');
const ctx: Context = {
  scope: file.scope,
  mode: 'block',
  kind: machine?.tree.kind,
  instance: machine?.tree,
  report: () => {},
};

test('a record leads to the kind of the block that it names, and to the check that this declares, or declares anew', () => {
  expect(records.map((record) => kindChecked(record, ctx)?.name)).toEqual([
    'chuck',
    'wide_chuck',
    'lathe',
    'lathe',
    'chuck',
  ]);
  expect(records.map((record) => checkRecorded(record, ctx)?.owner.name)).toEqual([
    'chuck',
    'wide_chuck',
    'lathe',
    undefined,
    undefined,
  ]);
});

test('what a check reads is like its bounds; without any it reads nothing', () => {
  const [left, right, whole] = records.map((record) => checkRecorded(record, ctx));
  const dimension = (check: typeof left) => {
    const type = check && typeRead(check);
    return type?.is === 'quantity' ? type.named?.name : type;
  };
  expect([left, right, whole].map(dimension)).toEqual(['Length', 'Angle', undefined]);
  expect(left && boundsOf(left).least).toBeUndefined();
  expect(right && boundsOf(right).least?.$type).toBe('Quantity');
});

test('it rests on values without arguments, and on the part', () => {
  const kind = file.scope.kindNamed('chuck');
  expect(typeRestedOn('jaws', kind)?.is).toBe('quantity');
  expect(typeRestedOn('part', kind)?.is).toBe('instance');
  for (const name of ['twice', 'jaw', 'nothing']) expect(typeRestedOn(name, kind)).toBeUndefined();
});
