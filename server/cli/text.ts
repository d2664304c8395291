import { failureWords } from '../../language/compute/failed-parts.ts';
import { waitingInWords } from '../../language/judge/choices.ts';
import { questionWords, waitingWords } from '../../language/judge/not-said.ts';
import { amountWords, countedInWords, notJudged, verdictOf, whyNotKnown } from '../../language/judge/verdict-words.ts';
import { weighedWords } from '../../language/judge/weights.ts';
import { listed } from '../../language/mistakes/sentence.ts';
import { isKnown } from './baseline.ts';
import { columns, columnsWithin, count, type Io, type Styles, stylesFor, wrap } from './io.ts';
import { showPlace } from './page.ts';
import type { Finding, MachineReport, Report } from './schema.ts';
import { type Tally, tallyOf } from './tally.ts';

/** The report as people read it: what is wrong with the text first, then machine by machine, then one line for all. */
export function textReport(report: Report, files: number, io: Pick<Io, 'colours' | 'width'>): string {
  return new TextReport(io).all(report, files);
}

class TextReport {
  readonly #style: Styles;
  readonly io: Pick<Io, 'colours' | 'width'>;
  constructor(io: Pick<Io, 'colours' | 'width'>) {
    this.io = io;
    this.#style = stylesFor(io);
  }

  all(report: Report, files: number): string {
    const mistakes = report.findings.filter((finding) => finding.machine === null);
    const sections = [
      ...(mistakes.length
        ? [
            this.#section(
              'In the text',
              mistakes.flatMap((m) => this.#finding(m, '  ', new Set())),
            ),
          ]
        : []),
      ...report.machines.map((machine) =>
        this.#machine(machine, findingsOf(machine, report), report.machines.length > 1),
      ),
      this.#closing(tallyOf(report), report.machines.length, files),
    ];
    return `${sections.join('\n\n')}\n`;
  }

  #section(title: string, lines: readonly string[]): string {
    return [this.#style.heading(title), ...lines].join('\n');
  }

  #machine(machine: MachineReport, findings: readonly Finding[], isOneOfMany: boolean): string {
    const name = machine.on ? `${machine.name}, as it stands on ${machine.on}` : machine.name;
    const title = `${this.#style.heading(name)}  ${this.#style.quiet(`${machine.file}:${machine.line}`)}`;
    // A requirement that fails is listed with the others.
    const shown = findings.filter((finding) => finding.code !== 'requirement' || finding.consequences);
    const [own, inherited] = [true, false].map((isOwn) => shown.filter((f) => (f.machine === machine.name) === isOwn));
    const warned = new Set<string>();
    const parts = [
      (own ?? []).map((finding) => this.#finding(finding, '  ', warned).join('\n')).join('\n\n'),
      this.#inherited(inherited ?? []),
      this.#titled('Requirements', this.#requirements(machine, findings)),
      this.#titled(
        'Open choices',
        machine.open.flatMap((open) => this.#open(open)),
      ),
      this.#titled('Measured', this.#measurements(machine)),
      this.#titled('Set in the controller', this.#settings(machine)),
      this.#titled('Not said yet', this.#notSaid(machine)),
      this.#titled('Undecided', this.#undecided(machine)),
      this.#titled('Held over ranges', this.#overRanges(machine)),
      this.#titled('Held whatever is said', this.#whatever(machine)),
      isOneOfMany ? `  ${this.#summary(machine, findings)}` : '',
    ];
    return [title, ...parts.filter(Boolean)].join('\n\n');
  }

  #titled(title: string, lines: readonly string[]): string {
    return lines.length ? [`  ${this.#style.heading(title)}`, ...lines].join('\n') : '';
  }

  /** What a variant has from the machine that it starts from, and is told there. */
  #inherited(findings: readonly Finding[]): string {
    const bases = [...new Set(findings.map(({ machine }) => machine))];
    return bases
      .map((base) => {
        const rules = findings.filter(({ machine }) => machine === base).map(({ code }) => code.replaceAll('_', ' '));
        return wrap(asSentence(`As in ${base}: ${listed([...new Set(rules)])}`), this.io.width, '  ');
      })
      .join('\n');
  }

  // ---- findings ----

  /** A finding; of its caution what no other of the machine has `warned` of before. */
  #finding(finding: Finding, indent: string, warned: Set<string>): string[] {
    const {
      severity,
      code,
      message,
      worst,
      searched,
      caution,
      waysOut = [],
      accepted,
      weighed,
      consequences = [],
      alsoIn,
    } = finding;
    const inner = `${indent}  `;
    const prose = (text: string) => wrap(text, this.io.width, inner);
    const aside = accepted && !accepted.counts ? 'accepted' : isKnown(finding) ? 'known' : undefined;
    const weight = weighedWords({ severity, weighed });
    const word = aside ? this.#style.quiet(`${aside} ${severity}`) : this.#severity(severity);
    return [
      `${indent}${showPlace(finding)}  ${word}  ${this.#style.quiet(code)}`,
      prose(asSentence(message)),
      ...(worst ? [prose(`Worst ${[worst, searched].filter(Boolean).join(', ')}.`)] : []),
      ...(alsoIn ? [prose(`Also in ${listed(alsoIn)}.`)] : []),
      ...(caution ? [this.#style.caution(prose(`Caution: ${notSaidBefore(caution, warned)}`))] : []),
      ...waysOut.map((way) => prose(asSentence(`Way out: ${way}`))),
      ...(weight ? [prose(asSentence(weight))] : []),
      ...(accepted ? this.#accepted(accepted).map(prose) : []),
      ...(finding.baseline === 'worse' ? [prose('It was known, and has grown worse.')] : []),
      ...(consequences.length ? [`${inner}From this follows:`] : []),
      ...consequences.flatMap((consequence) => this.#finding(consequence, `${inner}  `, warned)),
    ];
  }

  #severity(severity: Finding['severity']): string {
    return severity === 'note' ? severity : this.#style[severity](severity);
  }

  #accepted({ reason, lapsed, withoutValue, counts }: NonNullable<Finding['accepted']>): string[] {
    const lines = [asSentence(`Accepted: ${reason}`)];
    if (lapsed) lines.push(`The acceptance has lapsed: ${lapsed}.`);
    else if (counts) lines.push('People can be hurt, so it still counts.');
    if (withoutValue) lines.push('No value was accepted with it, so it can never lapse: state one.');
    return lines;
  }

  // ---- what a machine is to reach, what is open, what was measured ----

  #requirements({ requirements }: MachineReport, findings: readonly Finding[]): string[] {
    const waysOut = ({ text, path }: MachineReport['requirements'][number]) =>
      findings.find((each) => each.requirement === text && each.path === path)?.waysOut ?? [];
    const rows = requirements.map((r) => {
      const numbers = amountWords({
        shown: r.value,
        margin: r.marginText,
        notes: [r.worst, r.over, r.proved ? 'proved' : r.searched],
      });
      return [verdictOf(r.holds), r.text, r.holds ? numbers : r.known ? 'known' : ''];
    });
    const lines = columns(rows, '   ');
    return requirements.flatMap((requirement, i) => {
      const { holds } = requirement;
      const style = holds === null ? this.#style.advice : holds ? this.#style.good : this.#style.warning;
      const line = `    ${(lines[i] as string).replace(/^\w+/, (word) => style(word))}`;
      if (holds) return [line];
      const why = holds === null ? whyNotKnown(requirement) : shortfall(requirement);
      const said = [why, ...waysOut(requirement).map((way) => `Way out: ${way}`)];
      return [
        `${line}  ${this.#style.quiet(showPlace(requirement))}`,
        ...said.map((each) => wrap(asSentence(each), this.io.width, '      ')),
      ];
    });
  }

  #open({ path, answer, obstacles, undecided, ...place }: MachineReport['open'][number]): string[] {
    const inner = '      ';
    const waiting = waitingInWords(undecided);
    return [
      `    ${path}: ${this.#style.heading(answer)}  ${this.#style.quiet(showPlace(place))}`,
      ...obstacles.map((o) => wrap(`not ${o.candidate}: ${o.message} (${o.code})`, this.io.width, inner)),
      ...(waiting ? [wrap(waiting, this.io.width, inner)] : []),
    ];
  }

  #measurements({ measurements }: MachineReport): string[] {
    const rows = measurements.map((m) => {
      const away = m.deviation === null ? '' : deviation(m.deviation, m.deviationUnit);
      const use = m.inPlace ? 'used in its place' : '';
      return [m.path, `${m.measured} on ${m.date}`, `computed ${m.computed}`, [away, use].filter(Boolean).join(', ')];
    });
    return columns(rows).map((line) => `    ${line}`);
  }

  #settings({ settings }: MachineReport): string[] {
    const rows = settings.map(({ path, set, designed, agrees, date }) => {
      const verdict = agrees === null ? '' : agrees ? 'as designed' : 'not as designed';
      return [path, `${set} on ${date}`, `designed ${designed}`, verdict];
    });
    return columns(rows).map((line) => `    ${line}`);
  }

  #notSaid({ notSaid }: MachineReport): string[] {
    const rows = notSaid.map((each) => [each.path, questionWords(each), waitingWords(each)]);
    const lines = columnsWithin(rows, this.io.width - 4);
    return notSaid.flatMap(({ undecided }, i) => {
      const names = undecided.map(({ code, path }) => (path ? `${code} (${path})` : code));
      return [
        ...(lines[i] ?? []).map((line) => `    ${line}`),
        ...(names.length > 0 ? [this.#style.quiet(wrap(listed(names), this.io.width, '      '))] : []),
      ];
    });
  }

  #undecided({ undecided }: MachineReport): string[] {
    const groups = new Map<string, string[]>();
    for (const rule of undecided) {
      // What only waits for something that is not given stands with that.
      if (!rule.because && !rule.unreadable && rule.missing.length > 0) continue;
      const why = whyNotKnown(rule);
      groups.set(why, [...(groups.get(why) ?? []), rule.path ? `${rule.code} (${rule.path})` : rule.code]);
    }
    return [...groups].flatMap(([why, names]) => [
      wrap(asSentence(why), this.io.width, '    '),
      this.#style.quiet(wrap(listed(names), this.io.width, '      ')),
    ]);
  }

  #overRanges({ proved, searched }: MachineReport): string[] {
    // Those of which every end was tried are many, and only counted.
    const counted = searched.filter(({ everyEnd }) => everyEnd).length;
    const certain = proved ? [`    proved: ${count(proved, 'rule')}`] : [];
    const lines = counted ? [`    searched at every end and inside: ${count(counted, 'rule')}`] : [];
    return [
      ...certain,
      ...lines,
      ...searched
        .filter(({ everyEnd }) => !everyEnd)
        .map((held) =>
          wrap(`${held.path ? `${held.code} (${held.path})` : held.code}: ${held.searched}`, this.io.width, '    '),
        ),
    ];
  }

  #whatever({ whatever }: MachineReport): string[] {
    return whatever.map(({ code, path, over }) =>
      wrap(`${path ? `${code} (${path})` : code}: ${over}`, this.io.width, '    '),
    );
  }

  // ---- closing ----

  #summary(machine: MachineReport, findings: readonly Finding[]): string {
    return this.#found(tallyOf({ machines: [machine], findings: [...findings] }));
  }

  #found(tally: Tally): string {
    const { decided, undecided, failed, unclear, open, notSaid, waiting, unchecked } = tally;
    const found = foundWords(tally);
    const checks = `${count(decided, 'rule check')} that could be decided`;
    const rest = undecided ? `; ${undecided} ${notJudged(tally.wanted)}` : '; none is left undecided';
    const besides = [
      ...countedInWords(failed, 'requirement', 'fails').map(asSentence),
      ...countedInWords(unclear, 'requirement', 'undecided').map(asSentence),
      open && `${count(open, 'open choice')}.`,
      notSaid &&
        `${count(notSaid, 'thing')} not said yet${waiting > undecided ? `: ${waitingWords({ waiting, safety: 0 })} for that` : ''}.`,
      unchecked && `${count(unchecked, 'check')} of commissioning to be made: explain FILE MACHINE.commissioning.`,
    ].filter(Boolean);
    const rules =
      decided > 0
        ? `${found || 'Nothing found'} by the ${checks}${rest}.`
        : `${found ? `${found}. ` : ''}No rule could be decided${rest}.`;
    return [rules, ...besides].join(' ');
  }

  #closing(tally: Tally, machines: number, files: number): string {
    const mistakes = tally.mistakes ? `${count(tally.mistakes, 'mistake')} in the text.` : '';
    if (machines === 0) {
      const text = `No machine in ${count(files, 'file')}, so no rule was checked. ${mistakes || 'No mistake in the text.'}`;
      return this.#style.heading(text);
    }
    const all = `${machines === 1 ? '1 machine' : `${machines} machines`} in ${count(files, 'file')}.`;
    return this.#style.heading([all, mistakes, this.#found(tally)].filter(Boolean).join(' '));
  }
}

function findingsOf(machine: MachineReport, report: Report): Finding[] {
  const { name, file } = machine;
  return report.findings.filter((f) => f.file === file && (f.machine === name || f.alsoIn?.includes(name)));
}

function foundWords({ errors, warnings, advice, accepted, known }: Tally): string {
  const parts = [
    errors && count(errors, 'error'),
    warnings && count(warnings, 'warning'),
    advice && `${advice} advice`,
    accepted && `${accepted} accepted`,
    known && `${known} known`,
  ];
  return parts.filter(Boolean).join(', ');
}

function asSentence(text: string): string {
  return /[.!?…]$/.test(text) ? text : `${text}.`;
}

/** A caution's first sentence, and those of the others that were not said before; what is said is kept. */
function notSaidBefore(caution: string, said: Set<string>): string {
  const [danger = '', ...rest] = caution.split(/(?<=\.) (?=[A-Z])/);
  const fresh = rest.filter((sentence) => !said.has(sentence));
  for (const sentence of rest) said.add(sentence);
  return [danger, ...fresh].join(' ');
}

function shortfall({ failed = [], worst, searched }: MachineReport['requirements'][number]): string {
  return amountWords({ shown: failureWords(failed), notes: [worst, searched] });
}

function deviation(amount: number, unit: '1' | 'K'): string {
  if (amount === 0) return 'as computed';
  const size =
    unit === 'K'
      ? `${Number(Math.abs(amount).toPrecision(2))} K`
      : `${Number(Math.abs(amount * 100).toPrecision(2))} %`;
  return `${size} ${amount > 0 ? 'more' : 'less'}`;
}
