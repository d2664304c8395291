import { spawnSync } from 'node:child_process';

/** Currents through resistors by ngspice's operating point. Fails loudly where ngspice cannot be had: tests/setup.mjs installs it. */
export function simulate(netlist: readonly string[], resistors: readonly string[]): Map<string, number> {
  const prints = resistors.map((name) => `print @${name.toLowerCase()}[i]`);
  const deck = [
    '* network',
    ...netlist,
    '.options reltol=1e-9 abstol=1e-12 vntol=1e-9',
    '.control',
    'set numdgt=12',
    'op',
    ...prints,
    '.endc',
    '.end',
    '',
  ].join('\n');
  const run = spawnSync('ngspice', ['-b'], { input: deck, encoding: 'utf8' });
  if (run.error) throw new Error(`ngspice cannot be run (${run.error.message}): install the Debian package ngspice`);
  const currents = new Map<string, number>();
  for (const match of run.stdout.matchAll(/@(\w+)\[i\]\s*=\s*([-+\d.e]+)/gi))
    currents.set((match[1] as string).toLowerCase(), Number(match[2]));
  if (currents.size !== resistors.length) throw new Error(`ngspice printed no currents:\n${run.stdout}\n${run.stderr}`);
  return currents;
}

/** The times at which conditions such as `v(a)=55` are first met, by ngspice's transient analysis from the given states of its capacitors. */
export function measureTimes(
  netlist: readonly string[],
  conditions: readonly string[],
  { step, stop }: { step: number; stop: number },
): number[] {
  const measures = conditions.map((condition, i) => `meas tran time${i} WHEN ${condition}`);
  const deck = ['* transient', ...netlist, '.options reltol=1e-6', '.control', `tran ${step} ${stop} 0 ${step} uic`];
  deck.push(...measures, '.endc', '.end', '');
  const run = spawnSync('ngspice', ['-b'], { input: deck.join('\n'), encoding: 'utf8' });
  if (run.error) throw new Error(`ngspice cannot be run (${run.error.message}): install the Debian package ngspice`);
  return conditions.map((condition, i) => {
    const match = new RegExp(`^time${i}\\s*=\\s*([-+\\d.e]+)`, 'm').exec(run.stdout);
    if (!match) throw new Error(`ngspice never found ${condition}:\n${run.stdout}\n${run.stderr}`);
    return Number(match[1]);
  });
}
