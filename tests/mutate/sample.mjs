// Which of all possible changes are tried: a sample that a seed draws, for all of them would take days.
import { readFileSync } from 'node:fs';
import { CheckStatus } from '@stryker-mutator/api/check';
import { commonTokens, declareClassPlugin, PluginKind, tokens } from '@stryker-mutator/api/plugin';

/** What tells a change from every other, wherever the files stand. */
export function keyOf({ fileName, location, replacement, mutatorName }) {
  const { start, end } = location;
  const file = /(?:language|server)\/.*$/.exec(fileName)?.[0];
  return `${file}:${start.line}:${start.column}-${end.line}:${end.column} ${mutatorName} ${replacement}`;
}

/** Lets through only the changes named in the file that the option `sample` gives; the others are not tried. */
class Sample {
  static inject = tokens(commonTokens.options);
  constructor(options) {
    this.wanted = new Set(JSON.parse(readFileSync(options.sample, 'utf8')));
  }
  async init() {}
  async check(mutants) {
    const of = (mutant) =>
      this.wanted.has(keyOf(mutant))
        ? { status: CheckStatus.Passed }
        : { status: CheckStatus.CompileError, reason: 'not in the sample' };
    return Object.fromEntries(mutants.map((mutant) => [mutant.id, of(mutant)]));
  }
  async group(mutants) {
    return mutants.length > 0 ? [mutants.map(({ id }) => id)] : [];
  }
}

export const strykerPlugins = [declareClassPlugin(PluginKind.Checker, 'sample', Sample)];
