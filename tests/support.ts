import { complete } from '../language/answers/complete.ts';
import { cellAt } from '../language/answers/derivation.ts';
import { showCell } from '../language/compute/show-cell.ts';
import { fixesFor } from '../language/judge/fixes.ts';
import { whyNotKnown } from '../language/judge/verdict-words.ts';
import { libraryFiles } from '../language/library/generated/library.ts';
import { quantityOf, type Type } from '../language/names/type.ts';
import { type Assessed, Project, readLibrary, type SourceFile } from '../language/project.ts';

export const library = readLibrary(libraryFiles);

/** The type of a quantity by the name that the library declares it with. */
export function quantity(name: string): Type {
  const named = library.scope.system.dimensions.get(name);
  if (!named) throw new Error(`the library declares no ${name}`);
  return quantityOf(named);
}

/** A project of files in memory; the first is the one asked about. */
export function read(files: Record<string, string> | string): { project: Project; file: SourceFile } {
  const texts = typeof files === 'string' ? { 'a.gusset': files } : files;
  const byUri = new Map(Object.entries(texts).map(([name, text]) => [`file:///${name}`, text]));
  const project = new Project(library, { read: (uri) => byUri.get(uri) });
  return { project, file: project.file([...byUri.keys()][0] as string) as SourceFile };
}

/** `line: message` of every mistake in a text. */
export function mistakesIn(files: Record<string, string> | string): string[] {
  const { project, file } = read(files);
  return project.mistakes(file).map((m) => `${file.lines.position(m.start).line + 1}: ${m.message}`);
}

/** The one machine of a text, or the one of that name. */
export function machineIn(files: Record<string, string> | string, name?: string): Assessed {
  const { project, file } = read(files);
  const machine = project.machines(file).find((m) => !name || m.tree.name === name);
  if (!machine) throw new Error(`there is no machine ${name ?? ''}`);
  return machine;
}

/** A value of a machine as people read it. */
export function shown(machine: Assessed, path: string): string {
  const cell = cellAt(path, machine);
  if (!cell) throw new Error(`there is no value ${path}`);
  return showCell(cell, machine);
}

/** `rule: message` of everything found, consequences after an arrow. */
export function findingsOf(machine: Assessed): string[] {
  return machine.assessment.findings.map((f) =>
    [`${f.rule}: ${f.message}`, ...f.consequences.map((c) => c.rule)].join(' -> '),
  );
}

/** A bed and its supply in which everything holds; `{{…}}` marks what tests replace. */
export const bench = `machine Bench {
  ambient = 20 degC
  mains = 230 V
  supply psu is supply_24v_450w { own_plug = yes }
  bed {
    target = 100 degC
    plate {
      size = 230 mm x 230 mm
      thickness = 3 mm
      material = cast_aluminium
    }
    heater {
      power = 250 W
      voltage = 24 V
    }
    sensor is ntc_100k
    cutoff is thermal_link_133c
  }
  circuit bed_power {
    fuse is blade_15a
    wire {
      area = 2.5 mm^2
      length = 0.9 m
      insulation = silicone
      place = bed
    }
    path = [psu, fuse, wire, bed.cutoff, bed.heater]
  }
}
`;

/** What is proposed to be written where `<|>` stands, the best first. */
export function proposed(marked: string): string[] {
  const offset = marked.indexOf('<|>');
  if (offset < 0) throw new Error('the text marks no place with <|>');
  const { file, project } = read(marked.replace('<|>', ''));
  project.mistakes(file);
  return complete(file, offset)?.proposals.map(({ label }) => label) ?? [];
}

/** The texts that the fixes of a mistake or a finding would make of a text, each by its title. */
export function fixed(text: string): Map<string, string> {
  const { project, file } = read(text);
  const ofFindings = project
    .machines(file)
    .flatMap((machine) =>
      machine.assessment.findings.flatMap((finding) =>
        fixesFor(finding, machine).flatMap((tries) => [...tries].slice(0, 1)),
      ),
    );
  const fixes = [...project.mistakes(file).flatMap((mistake) => mistake.fixes), ...ofFindings];
  return new Map(
    fixes.map(({ title, edits }) => [
      title,
      edits
        .toSorted((a, b) => b.start - a.start)
        .reduce((now, edit) => now.slice(0, edit.start) + edit.text + now.slice(edit.end), text),
    ]),
  );
}

/** A mistake as plain data: its code, its severity, the text it marks, what is said, and the titles of its fixes. */
export function toldOf(files: Record<string, string> | string) {
  const { project, file } = read(files);
  return project.mistakes(file).map(({ code, severity, message, start, end, fixes }) => ({
    code,
    severity,
    marks: file.parsed.text.slice(start, end),
    message,
    fixes: fixes.map((fix) => fix.title),
  }));
}

/** What is undecided, as `rule: why`. */
export function undecidedOf(machine: Assessed): string[] {
  return machine.assessment.undecided.map((undecided) => `${undecided.rule}: ${whyNotKnown(undecided)}`);
}
