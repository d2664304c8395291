import { expect, test } from 'vitest';
import { machineIn } from '../support.ts';

const kinds = `sizes ropes: Length = [2 mm, 4 mm, 6 mm, 8 mm] {
  source practice "a test"
}
sizes eyes: Length = [3 mm, 5 mm, 7 mm, 9 mm] {
  source practice "a test"
}
kind swing {
  toplevel
  rope: Length {
    sizes ropes
  }
  eye: Length {
    sizes eyes
  }
  load: Mass default 5 kg
  widest: Length default 10 mm
  bar: Length default 20 mm
}
rule rope_snaps on swing {
  holds rope >= load * 1 mm/kg
  error "{rope} snaps under {load}"
  caution "A fall."
  remedy rope
  source practice "a test"
}
rule eye_narrow on swing {
  holds rope <= eye
  error "{rope} does not go through {eye}"
  caution "A fall."
  remedy eye
  source practice "a test"
}
rule eye_wide on swing {
  holds eye <= widest
  warning "{eye} is too wide for {widest}"
  source practice "a test"
}
rule bar_thin on swing {
  holds bar >= 10 mm
  error "{bar} is thin"
  source practice "a test"
}
`;

function ways(lines: string, text = kinds) {
  const { findings } = machineIn(`${text}swing S {\n  rope = ?\n${lines}\n}\n`).assessment;
  return findings.find(({ rule }) => rule === 'nothing_fits')?.waysOut;
}

test('where each breaks a rule about people’s safety, the least value elsewhere with which one fits is the way out', () => {
  expect(ways('  eye = 5 mm')).toEqual(['change S.eye 5 mm → 7 mm: then 6 mm fits']);
  expect(ways('  eye = 3 mm\n  load = 3 kg')).toEqual(['change S.eye 3 mm → 5 mm: then 4 mm fits']);
});

test('what fails whatever is chosen may stay', () => {
  expect(ways('  eye = 5 mm\n  bar = 5 mm')).toEqual(['change S.eye 5 mm → 7 mm: then 6 mm fits']);
});

test('a value that brings a warning only where none without it does, and says so', () => {
  expect(ways('  eye = 5 mm\n  widest = 6 mm')).toEqual([
    'change S.eye 5 mm → 7 mm: then 6 mm fits, with a new warning',
  ]);
});

test('no value by which something grave begins to fail, none that no way out names, and none that protects the less, the larger it is', () => {
  const nothing = ['change something else: each that can be chosen breaks a rule about people’s safety'];
  expect(ways('  eye = 5 mm\n  widest = 6 mm', kinds.replace('warning "{eye}', 'error "{eye}'))).toEqual(nothing);
  expect(ways('  eye = 5 mm', kinds.replace('  remedy eye\n', ''))).toEqual(nothing);
  expect(ways('  eye = 5 mm', kinds.replace('    sizes eyes\n', '    sizes eyes\n    protects\n'))).toEqual(nothing);
});

const withHook = `${kinds.replace('kind swing {', 'kind swing {\n  has hook?')}kind hook {
  bears: Mass
  opens_at: Mass {
    protects
  }
  has spring*
}
kind ring is hook {
}
part small_hook is hook {
  bears = 4 kg
  opens_at = 5 kg
}
part middle_hook is hook {
  bears = 6 kg
  opens_at = 9 kg
}
part large_hook is hook {
  bears = 8 kg
  opens_at = 5 kg
}
part eyelet is ring {
  bears = 7 kg
  opens_at = 5 kg
}
kind spring {
}
rule hook_bends on swing {
  holds hook.bears >= rope * 1 kg/mm
  error "{hook.name} bends"
  caution "A fall."
  remedy hook
  source practice "a test"
}
`;

test('a part elsewhere, where it differs in values alone and protects as much', () => {
  const hook = '  eye = 9 mm\n  hook h is small_hook';
  expect(ways(hook, withHook)).toEqual(['change h small_hook → large_hook: then 6 mm fits']);
  const nothing = ['change something else: each that can be chosen breaks a rule about people’s safety'];
  expect(ways(hook, withHook.replace('part large_hook is hook', 'part large_hook is ring'))).toEqual(nothing);
  expect(ways(hook, withHook.replace('  remedy hook\n', ''))).toEqual(nothing);
  expect(ways(hook, withHook.replace('    protects\n', ''))).toEqual([
    'change h small_hook → middle_hook: then 6 mm fits',
  ]);
});
