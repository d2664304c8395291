/** A name in its place, and what each that asks is to make of it: one for each step of the order in which names are looked through. */
export interface OneMeaning {
  readonly step: string;
  /** Where the name stands, after `|`. */
  readonly at: string;
  /** The value that rests on it, by its path, and what it comes to. */
  readonly value: readonly [path: string, shown: string];
  /** What the hover says of it. */
  readonly hover: string;
  /** The lines that are changed with it when it is renamed, or why it keeps its name. */
  readonly renamed: readonly string[] | string;
  /** As what alone it is proposed there, and what is told beside it. */
  readonly proposed: string;
}

/** Halls with lamps: a name that could mean two things means another value with each. */
export const text = `/// The farthest.
constant reach: Length = 5 m
/// The tallest.
constant height: Length = 6 m
/// The narrowest.
constant narrow: Length = 9 m
sizes spans: Length = [narrow = 3 m, 4 m]
kind hall {
  toplevel
  /// As far as one sees.
  shared reach: Length default 1 m
  /// Ten times that.
  shared max(of: Length): Length = 10 * of
  /// Of the hall.
  shared air: Length default 4 m
  /// From the hall.
  shared glow: Length default 7 m
  /// As wide as the hall.
  span: Length default 12 m
  has lamp*
  has blind {
    width = span / 2
  }
}
kind blind {
  width: Length
}
kind bulb {
  inside lamp
  size: Length
}
kind lamp {
  /// From the lamp.
  shared glow: Length default 2 m
  far: Length {
    sizes spans
  }
  /// Of the lamp.
  air: Length default 2 m
  mode: one of dim, bright default dim
  is_dim: YesNo = mode == dim
  is_as(dim: one of dim, bright): YesNo = mode == dim
  alike: YesNo = is_as(dim: bright)
  longer(height: Length): Length = height + 1 m
  long: Length = longer(height: 3 m)
  breath: Length = air + 1 m
  called: Text = name
  most: Length = max(air, 3 m)
  mine: Count = self.count
  has bulb?
}
hall H {
  lamp a {
    far = reach
    bulb {
      size = glow
    }
  }
  lamp b {
    far = height
  }
  lamp c {
    far = narrow
  }
}
`;

const ofLanguage = 'This word belongs to the language, and keeps its name.';

export const meanings: readonly OneMeaning[] = [
  {
    step: 'arguments',
    at: 'Length = |height + 1 m',
    value: ['a.long', '4 m'],
    hover: '**height**\n\n_a length',
    renamed: ['longer(other: Length): Length = other + 1 m', 'long: Length = longer(other: 3 m)'],
    proposed: 'local: a length, in mm or m',
  },
  {
    step: 'an argument before a word that is expected',
    at: 'YesNo = mode == |dim\n  alike',
    value: ['a.alike', 'no'],
    hover: '**dim**\n\n_one of dim, bright_',
    renamed: ['is_as(other: one of dim, bright): YesNo = mode == other', 'alike: YesNo = is_as(other: bright)'],
    proposed: 'local: one of dim, bright',
  },
  {
    step: 'words that are expected',
    at: 'is_dim: YesNo = mode == |dim',
    value: ['a.is_dim', 'yes'],
    hover: 'lamp.mode',
    renamed: ['mode: one of other, bright default other', 'is_dim: YesNo = mode == other'],
    proposed: 'choice',
  },
  {
    step: 'the block itself',
    at: 'Count = |self.count',
    value: ['a.mine', '1'],
    hover: 'The block itself.',
    renamed: ofLanguage,
    proposed: 'keyword: The block itself.',
  },
  {
    step: 'its own values before those that are shared around it',
    at: 'Length = |air + 1 m',
    value: ['a.breath', '3 m'],
    hover: 'Of the lamp.',
    renamed: ['other: Length default 2 m', 'breath: Length = other + 1 m', 'most: Length = max(other, 3 m)'],
    proposed: 'value: Of the lamp.',
  },
  {
    step: 'values of the kind around the block of a role',
    at: 'width = |span / 2',
    value: ['blind.width', '6 m'],
    hover: 'As wide as the hall.',
    renamed: ['other: Length default 12 m', 'width = other / 2'],
    proposed: 'value: As wide as the hall.',
  },
  {
    step: 'for what is called, functions of the language before what is shared',
    at: 'Length = |max(air',
    value: ['a.most', '3 m'],
    hover: 'The greatest of its arguments',
    renamed: ofLanguage,
    proposed: 'function: The greatest of its arguments, or of a list.',
  },
  {
    step: 'what is shared around before what is declared',
    at: 'far = |reach',
    value: ['a.far', '1 m'],
    hover: 'As far as one sees.',
    renamed: ['shared other: Length default 1 m', 'far = other'],
    proposed: 'value: As far as one sees.',
  },
  {
    step: 'what is shared nearer before what is shared farther',
    at: 'size = |glow',
    value: ['a.bulb.size', '2 m'],
    hover: 'From the lamp.',
    renamed: ['shared other: Length default 2 m', 'size = other'],
    proposed: 'value: From the lamp.',
  },
  {
    step: 'named sizes before other declarations',
    at: 'far = |narrow',
    value: ['c.far', '3 m'],
    hover: '**sizes narrow**',
    renamed: ['sizes spans: Length = [other = 3 m, 4 m]', 'far = other'],
    proposed: 'size: spans',
  },
  {
    step: 'what is declared',
    at: 'far = |height',
    value: ['b.far', '6 m'],
    hover: 'The tallest.',
    renamed: ['constant other: Length = 6 m', 'far = other'],
    proposed: 'function: The tallest.',
  },
  {
    step: 'words that every block has',
    at: 'Text = |name',
    value: ['a.called', 'a'],
    hover: 'The name of the block.',
    renamed: ofLanguage,
    proposed: 'keyword: The name of the block.',
  },
];

/** The text with `<|>` where a name of `meanings` stands. */
export function markedAt({ at }: OneMeaning): string {
  const piece = at.replace('|', '');
  if (text.split(piece).length !== 2) throw new Error(`the text does not have one ${piece}`);
  return text.replace(piece, at.replace('|', '<|>'));
}
