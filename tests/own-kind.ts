/** A file with a kind of its own, a part of it, a machine, and variants: what the editor's features are tested on. */
export const ownKind = `/// Widths that drums come in.
sizes drum_sizes: Length = [100 mm, 200 mm] {
  source practice "drums in the workshop"
}

/// A drum to dry filament on.
kind drum is component {
  inside machine
  /// How wide it is.
  width: Length {
    sizes drum_sizes
  }
  mode: one of slow, fast
  /// The rim at a share of the width.
  rim(at: Ratio): Length = width * at {
    source defined "share of it"
  }
  /// Half of the width.
  half: Length = rim(at: 0.5) {
    source defined "half of it"
  }
}

/// A drum that turns fast is narrow.
rule drum_wide on drum {
  when mode == fast
  holds width < 1 m
  warning "{name} is {width} wide, and turns fast"
  source practice "ours"
  at width
}

/// The small one.
part small_drum is drum {
  width = 100 mm
}

machine First {
  drum roller is small_drum {
    mode = fast
  }
  require all(d.width < 1 m for d in every drum)
  require roller.rim(at: 0.2) < 1 m
}

machine Second is First {
  drum roller {
    width = 200 mm
  }
}

machine Third is First {
  no roller
}
`;

/** The text with a cursor put into a piece of it: the piece is written with `<|>` where the cursor is. */
export function marked(piece: string, text = ownKind): string {
  const plain = piece.replace('<|>', '');
  if (!text.includes(plain)) throw new Error(`the text has no ${plain}`);
  return text.replace(plain, piece);
}
