// All of two sheets, as it was looked at when it was right: what each part says, and which words of the text it leads to.
import { expect, test } from 'vitest';
import { type Part, type Section, sheetOf } from '../../language/answers/sheet.ts';
import { type AstNode, textOf } from '../../language/grammar/syntax.ts';
import { machineIn } from '../support.ts';

const kinds = `/// A thing with kinds of its own.
kind hall {
  toplevel
  /// What it costs.
  cost: Price = sum(c.price for c in every crate) {
    source practice "what shops ask"
  }
  budget: Price default 20 EUR
  crates: list of crate = each(c for c in every crate) {
    shown load
  }
  report "Crates", crates
  report "Money", cost, budget
  headline cost, crates
  has crate*
  has lid?
}
/// Holds things.
kind crate {
  price: Price
  /// What it carries.
  load: Mass {
    source recalled "scales of the shop"
  }
  size: Length?
  report "Settings", load
  report "Settings", size
  /// It stands
  check stands {
    when load > 2 kg
    repeat shake
    uncover "Take the lid off"
    how "Shake it"
  }
  /// It is full
  check filled {
    step last_step
    how "Fill it with {load}"
    caution "Pinching."
  }
  /// It is weighed
  check weighed {
    stage before_use
    how "Weigh it"
    highest 10 kg
    with load
  }
}
kind packing {
  place: Ratio
  order place
}
/// At the end
part last_step is packing { place = 2 }
kind trying {
  place: Ratio
  order place
}
/// Before it is used
part before_use is trying { place = 1 }
kind shaking {}
/// Each day
part shake is shaking
kind lid {
  opens: Length?
  kept_under: list of crate = each(c for c in every crate) {
    shown load
  }
  report "Kept", opens, kept_under
  expects given(opens), "How far?"
}
rule crate_overloaded on crate {
  holds load <= 10 kg
  error "{name} carries {load}"
  caution "It falls on your foot."
  source practice "what boards bear"
  remedy "carry less"
}
rule crate_sways on crate {
  holds load <= 5 kg
  warning "{name} sways"
  source practice "how boards sway"
  follows crate_overloaded of self
}
rule crate_dear on crate {
  holds price <= 3 EUR
  advice "{name} is dear"
  source defined "a test"
}
`;
const full = `${kinds}/// A hall by the sea.
hall H {
  budget = 10 EUR
  crate a {
    price = 3 EUR
    load = 9 kg
    accept crate_sways at 9 kg because "it stands still"
    set load = 8 kg on 2026-03-02
    checked weighed at 9 kg on 2026-03-03 with [load = 9 kg]
  }
  crate b {
    price = 4 EUR
    load = 12 kg
    size = 2 m
  }
  crate c_three {
    price = 1 EUR
    load = ?
  }
  lid {
  }
  require cost <= 10 EUR
  require a.load <= 20 kg
}
`;
const bare = `${kinds}hall H {
  crate a {
    load = 4 kg
  }
}
`;

const words = (node: AstNode | undefined) => (node ? textOf(node).split('\n')[0]?.slice(0, 24) : '');
const number = (of: number | undefined) => (of === undefined ? '' : String(Number(of.toFixed(4))));
const joined = (...all: readonly (string | undefined)[]) =>
  all
    .map((each) => each ?? '')
    .join(' | ')
    .trimEnd();
/** A part in lines. */
function said(part: Part): string[] {
  switch (part.is) {
    case 'rows':
      return part.rows.map(({ label, shown, about, margin, bar, place, formula }) =>
        joined(
          `row ${part.block ?? ''}`,
          label,
          shown,
          about,
          number(margin),
          number(bar),
          words(place),
          words(formula),
        ),
      );
    case 'table':
      return [
        joined(
          `table ${part.label}`,
          part.about,
          part.heading.join(', '),
          part.missing.join(', '),
          part.list,
          part.block,
          part.together,
          JSON.stringify(part.below),
        ),
        ...part.rows.map(({ texts, place, places, bar }) =>
          joined(texts.join(', '), words(place), places?.map(words).join(', '), number(bar)),
        ),
      ];
    case 'checks':
      return [
        `checks ${part.label}`,
        ...part.items.map(({ title, uncover, how, expected, caution, blocks }) =>
          joined(
            title,
            uncover,
            how,
            expected,
            caution,
            blocks.map(({ label, made, place }) => `${label} ${made} ${words(place)}`).join(', '),
          ),
        ),
      ];
    case 'notes':
      return part.notes.map(({ severity, title, text, caution, more, place }) =>
        joined(severity, title, text, caution, more?.join('; '), words(place)),
      );
    default:
      return [part.is];
  }
}
const lines = ({ heading, about, parts }: Section) => [joined(`# ${heading}`, about), ...parts.flatMap(said)];

const ofFull = `H | A hall by the sea.
# At a glance |
row  | cost | 8 EUR | What it costs. |  |  | H | cost: Price = sum(c.pric
# Findings |
error | crate overloaded | b carries 12 kg | It falls on your foot. | carry less | b
warning | crate sways | b sways |  |  | b
warning | set otherwise | a.load was set to 8 kg on 2026-03-02; by the design it is 9 kg |  | set the controller to what the design says and record that, or change the design | set load = 8 kg on 2026-
advice | crate dear | b is dear |  |  | b
note | crate sways | a sways |  | accepted: it stands still | a
# Requirements |
row  | cost <= 10 EUR | holds: 8 EUR, 20 % to spare |  | 0.2 |  | require cost <= 10 EUR |
row  | a.load <= 20 kg | holds: 9 kg, 55 % to spare |  | 0.55 |  | require a.load <= 20 kg |
# Weakest points | Rules that hold with the least to spare.
row  | a: crate dear | price 3 EUR, must be at most 3 EUR: 0 % to spare | price <= 3 EUR | 0 |  | a | rule crate_dear on crate
row  | a: crate overloaded | load 9 kg, must be at most 10 kg: 10 % to spare | load <= 10 kg | 0.1 |  | a | rule crate_overloaded on
# Open choices |
 | c_three.load | nothing can be proposed |  |  | ?
# Not said yet |
 | c_three.load | What it carries? 2 rules wait, 1 of them about safety |  |  | ?
 | lid.opens | How far? |  |  | lid
# Crates |
table  |  | , load | c_three.load |  |  |  |
a, 9 kg; set to 8 kg on 2026-03-02 | crate a { | , 9 kg |
b, 12 kg | crate b { | , 12 kg |
c_three, ? | crate c_three { | , ? |
# Money |
row  | cost | 8 EUR | What it costs. |  | 0.8 | H | cost: Price = sum(c.pric
row  | budget | 10 EUR |  |  | 1 | 10 EUR |
# Settings |
table crate |  | , load, size | c_three.load |  |  |  |
a, 9 kg; set to 8 kg on 2026-03-02,  | crate a { | , 9 kg,  |
b, 12 kg, 2 m | crate b { | , 12 kg, 2 m |
c_three, ?,  | crate c_three { | , ?,  |
# Kept |
table lid.kept under |  | , load | c_three.load | kept under | lid |  |
a, 9 kg; set to 8 kg on 2026-03-02 | crate a { | , 9 kg |
b, 12 kg | crate b { | , 12 kg |
c_three, ? | crate c_three { | , ? |
# Set in the controller |
table As it was set |  | , set, by the design, , on |  |  |  |  |
a.load, 8 kg, 9 kg, differs, 2026-03-02 | set load = 8 kg on 2026- |  |
# Assembly | Step by step, in this order, with the plug pulled throughout. Where mains is, local codes and a licensed electrician decide, and do the work.
checks At the end
It is full |  | Fill it with 9 kg |  | Pinching. | a ☐ a
It is full |  | Fill it with 12 kg |  | Pinching. | b ☐ b
It is full |  | Fill it with a mass that is not given |  | Pinching. | c_three ☐ c_three
# Commissioning | Step by step, in this order. Where mains is, local codes and a licensed electrician decide.
checks Before it is used
It is weighed |  | Weigh it | at most 10 kg |  | a ☑ 9 kg 2026-03-03 checked weighed at 9 kg , b ☐ b, c_three ☐ c_three
# Maintenance | With the plug pulled, but for the test button and the alarm. Where mains is, local codes and a licensed electrician decide.
checks Each day
It stands | Take the lid off | Shake it |  |  | a  a, b  b, c_three  c_three
# Why it is so | Of each part the rule that leaves it the least to spare, where that is no more than half: another choice would break it first.
table What each part is decided by |  | , is, by the rule, comes to, must be, to spare, source |  |  |  | by the rule | {"is":"","source":"by the rule"}
a, crate, crate dear, price 3 EUR, at most 3 EUR, 0 % to spare, a test (true by definition) | a | , , rule crate_dear on crate |
# Sources | What the values at a glance and the requirements rest on, what is least sure first.
table  |  | , it is, for |  |  |  | it is |
what shops ask, common practice, no published source, hall’s cost | cost: Price = sum(c.pric |  |`;

const ofBare = `H |
# At a glance |
row  | cost | not known: a.price is not given | What it costs. |  |  | H | cost: Price = sum(c.pric
# Weakest points | Rules that hold with the least to spare.
row  | a: crate sways | load 4 kg, must be at most 5 kg: 20 % to spare | load <= 5 kg | 0.2 |  | a | rule crate_sways on crat
row  | a: crate overloaded | load 4 kg, must be at most 10 kg: 60 % to spare | load <= 10 kg | 0.6 |  | a | rule crate_overloaded on
# Not said yet |
 | a.price | price? 1 rule waits |  |  | a
# Crates |
table  |  | , load |  |  |  |  |
a, 4 kg | crate a { | , 4 kg | 1
# Money |
row  | cost | not known: a.price is not given | What it costs. |  |  | H | cost: Price = sum(c.pric
row  | budget | 20 EUR |  |  |  | H |
# Settings |
row a | load | 4 kg | What it carries. |  |  | 4 kg |
# Assembly | Step by step, in this order, with the plug pulled throughout. Where mains is, local codes and a licensed electrician decide, and do the work.
checks At the end
It is full |  | Fill it with 4 kg |  | Pinching. | a ☐ a
# Commissioning | Step by step, in this order. Where mains is, local codes and a licensed electrician decide.
checks Before it is used
It is weighed |  | Weigh it | at most 10 kg |  | a ☐ a
# Maintenance | With the plug pulled, but for the test button and the alarm. Where mains is, local codes and a licensed electrician decide.
checks Each day
It stands | Take the lid off | Shake it |  |  | a  a
# Why it is so | Of each part the rule that leaves it the least to spare, where that is no more than half: another choice would break it first.
table What each part is decided by |  | , is, by the rule, comes to, must be, to spare, source |  |  |  | by the rule | {"is":"","source":"by the rule"}
a, crate, crate sways, load 4 kg, at most 5 kg, 20 % to spare, how boards sway (common practice, no published source) | a | , , rule crate_sways on crat |
# Sources | What the values at a glance and the requirements rest on, what is least sure first.
table  |  | , it is, for |  |  |  | it is |
what shops ask, common practice, no published source, hall’s cost | cost: Price = sum(c.pric |  |`;

const told = (text: string) => {
  const { machine, about, sections } = sheetOf(machineIn(text));
  return [joined(machine, about), ...sections.flatMap(lines)].join('\n');
};

test('of a machine with findings, requirements, records and an open choice', () => {
  expect(told(full)).toBe(ofFull);
});

test('of one that says little', () => {
  expect(told(bare)).toBe(ofBare);
});
