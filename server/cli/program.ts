import { Command, CommanderError, InvalidArgumentError, Option } from 'commander';
import { starts } from '../../language/starts.ts';
import { version } from './built.ts';
import { CallError, exitStatuses, type Io, wrap } from './io.ts';

const checkHelp =
  'Exit status: 0 when nothing of error level was found, 1 when something was, 2 for a wrong call or a file that cannot be read. Findings that were accepted do not count, except where people can be hurt, and neither do those that a baseline knows. How grave a rule is that is not about people’s safety, gusset-project.json may say otherwise.';

/** Runs the command line with the arguments after the program's name; returns the exit status. Commands load by need. */
export async function run(args: readonly string[], io: Io): Promise<number> {
  let status: number = exitStatuses.good;
  const program = new Command('gusset')
    .description('Describe a filament printer as text, and see what overheats, stalls, sags or does not fit.')
    .version(version(), '-v, --version', 'print the version')
    .helpOption('-h, --help', 'print this help')
    .helpCommand('help [command]', 'print the help of a command')
    .showHelpAfterError('Run with --help to see how it is called.')
    .configureHelp({ helpWidth: io.width })
    .configureOutput({ writeOut: io.out, writeErr: io.err, getOutHelpWidth: () => io.width })
    .exitOverride();

  program
    .command('new')
    .description('write a machine or a rule to begin with; without a file, list what machines there are')
    .argument('[file]', 'a file that is not there yet')
    .addOption(new Option('--start <name>', 'which one').choices(starts.map(({ name }) => name)).default('sliding-bed'))
    .option('--rule <name>', 'a rule of this name, and machines to try it on')
    .option('--on <kind>', 'what the rule is on')
    .addHelpText(
      'after',
      '\nExamples:\n  gusset new mine.gusset --start small\n  gusset new --rule fan_too_slow --on fan',
    )
    .action(async (path: string | undefined, options) => {
      if (options.rule !== undefined) {
        const { newRule } = await import('./new-rule.ts');
        status = newRule(path, options, io);
        return;
      }
      const { newFile } = await import('./new.ts');
      status = newFile(path, options.start, io);
    });

  program
    .command('check')
    .description('check machines: findings, requirements, open choices, and rules that cannot be decided yet')
    .argument('[paths...]', 'files, or folders with .gusset files in them; - is standard input')
    .addOption(
      new Option('--format <format>', 'how to print').choices(['text', 'json', 'sarif', 'junit']).default('text'),
    )
    .option('--strict', 'count warnings, unmet requirements, open choices and undecided rules as well')
    .option('--values', 'with --format json: every value of each machine as well, which is much')
    .option('--fix', 'first write the ways out that are proven and that nobody has to do anything for')
    .option('--as <file>', 'which file the text on standard input stands for')
    .option('--watch', 'check again whenever a file is changed, until it is stopped')
    .option('--baseline <file>', 'a list of findings that are known: they do not count unless they grow worse')
    .option('--write-baseline', 'write that list anew; never what is found about the safety of people')
    .option('--cores <number>', 'how many threads check many files; by default as many as there are cores', number)
    .option('--schema', 'print the JSON Schema of what --format json prints, and check nothing')
    .addHelpText('after', `\n${wrap(checkHelp, io.width)}`)
    .action(async (paths: string[], options) => {
      if (options.schema) {
        const { reportJsonSchema } = await import('./schema.ts');
        io.out(`${JSON.stringify(reportJsonSchema(), null, 2)}\n`);
        return;
      }
      if (paths.length === 0) throw new CallError('Which files or folders are to be checked?');
      const asked = { strict: false, values: false, fix: false, ...options };
      if (asked.watch) {
        const { watchAndCheck } = await import('./watch.ts');
        status = await watchAndCheck(paths, asked, io);
        return;
      }
      const { check } = await import('./check.ts');
      status = await check(paths, asked, io);
    });

  program
    .command('explain')
    .description(
      'explain a rule, a kind, a part, a unit, a function, or (with a file) a value; list all kinds, parts or rules',
    )
    .argument(
      '[name...]',
      'a name; kinds, parts, rules, functions or units for a list; or a file and a name or a value of a machine in it',
    )
    .option('--depth <levels>', 'how many levels of a derivation to print', number, 2)
    .option('--whole', 'of a kind all that it declares and inherits; without it what to write, and what it will tell')
    .option('--all', 'all that the library declares, as pages of HTML; with --out')
    .option('--out <folder>', 'the folder that the pages are written into')
    .addHelpText(
      'after',
      '\nExamples:\n  gusset explain kinds\n  gusset explain bed\n  gusset explain kN\n  gusset explain my.gusset "Mine.name.of_a_value(to: 100 degC)"',
    )
    .action(async (names: string[], options) => {
      if (options.all || options.out !== undefined) {
        if (!options.all || options.out === undefined || names.length > 0)
          throw new CallError('All pages are written by: explain --all --out FOLDER');
        const { reference } = await import('./reference.ts');
        status = reference(options.out, io);
        return;
      }
      if (names.length === 0 || names.length > 2)
        throw new CallError('Expected one name, or a file and one name; quote a value with arguments.');
      const { explain } = await import('./explain.ts');
      status = explain(names, options, io);
    });

  program
    .command('format')
    .description('write files in the one format there is')
    .argument('<paths...>', 'files, or folders with .gusset files in them')
    .option('--check', 'write nothing; exit with 1 and list the files that are not formatted')
    .addOption(
      new Option(
        '--shorter',
        'write what is said at length the short way as well, where every value and all that is found stays as it is',
      ).conflicts('check'),
    )
    .action(async (paths: string[], options) => {
      const { formatFiles, shortenFiles } = await import('./format.ts');
      status = options.shorter ? shortenFiles(paths, io) : formatFiles(paths, { check: options.check ?? false }, io);
    });

  program
    .command('pack')
    .description('print a file and all that it uses of other files as one text that checks by itself')
    .argument('<file>', 'a file')
    .addHelpText('after', '\nExample:\n  gusset pack my.gusset > all-of-it.gusset')
    .action(async (path: string) => {
      const { packFile } = await import('./pack.ts');
      status = packFile(path, io);
    });

  program
    .command('report')
    .description('hand over the sheet of a machine: plots, circuits, parts, values to set, faults')
    .argument('<file>', 'a file')
    .argument('[machine]', 'one of its machines; without it, each of them')
    .addOption(
      new Option('--format <format>', 'what to write; dxf is the drawing alone')
        .choices(['html', 'markdown', 'csv', 'json', 'dxf'])
        .default('html'),
    )
    .option('--out <folder>', 'write into this folder; without it, what is one text is printed')
    .option(
      '--move <axis>',
      'an input that can be moved on the page, which then holds the checker and computes by itself; may be given several times',
      several,
      [],
    )
    .addHelpText(
      'after',
      '\nExamples:\n  gusset report my.gusset Mine --format html --out handed-over\n  gusset report my.gusset Mine --move "bed.heater.power = 150 W .. 400 W step 10 W" --move "bed.plate is [plate_a, plate_b]" --out handed-over',
    )
    .action(async (path: string, machine: string | undefined, options) => {
      const { writeSheets } = await import('./sheet.ts');
      status = await writeSheets(path, machine, options, io);
    });

  program
    .command('compare')
    .description('compare two machines, files or revisions: what was changed, what turned, and which change did it')
    .argument(
      '[names...]',
      'a file and machines in it, or two files; of one machine alone what it starts from is the other',
    )
    .option('--git <revisions>', 'compare the file with a revision, or two of them: REV or REV..REV')
    .addOption(new Option('--format <format>', 'how to print').choices(['text', 'markdown', 'json']).default('text'))
    .option('--least <share>', 'leave out what moves by less than this share', share, 0.005)
    .option(
      '--show <values>',
      'only put these values side by side, of any number of machines; commas between them, and before each a heading if you like',
    )
    .option('--library <folder>', 'the library that the first was written for; with --git, as it was then')
    .option('--beside <file>', 'both files are texts of this one: what they use is looked for beside it')
    .option('--all', 'print all that differs, and not only what matters most')
    .option('--strict', 'exit with 1 where an error, a warning or a requirement fails that did not')
    .option('--schema', 'print the JSON Schema of what --format json prints, and compare nothing')
    .addHelpText(
      'after',
      '\nExamples:\n  gusset compare my.gusset Mine Mine_larger\n  gusset compare my.gusset --git HEAD~1\n  gusset compare my.gusset Mine Mine_larger --show cost,bed.power_to_hold',
    )
    .action(async (names: string[], options) => {
      if (options.schema) {
        const { comparisonJsonSchema } = await import('./compare-schema.ts');
        io.out(`${JSON.stringify(comparisonJsonSchema(), null, 2)}\n`);
        return;
      }
      const { compareFiles } = await import('./compare.ts');
      status = compareFiles(names, { all: false, strict: false, ...options }, io);
    });

  program
    .command('history')
    .description('tell what a value came to over the commits of a file, and which of them moved it')
    .argument('<file>', 'a file in a git repository')
    .argument('<value>', 'a value of a machine in it, as for explain')
    .addOption(tableFormat())
    .option('--last <commits>', 'how many commits to look at, along first parents', number, 100)
    .option('--least <share>', 'leave out what moves it by less than this share', share, 0.005)
    .addHelpText('after', '\nExample:\n  gusset history my.gusset Mine.cost')
    .action(async (path: string, value: string, options) => {
      const { history } = await import('./history.ts');
      status = history(path, value, options, io);
    });

  program
    .command('sweep')
    .description('go through values and parts of a machine: what comes of each, and where what begins to fail')
    .argument('<file>', 'a file')
    .argument('<machine>', 'one of its machines')
    .requiredOption('--over <axis>', 'what is gone through; given several times, all combinations', several, [])
    .requiredOption('--show <values>', 'values to show, with commas between them')
    .addOption(
      new Option('--format <format>', 'how to print; svg draws the first value')
        .choices(['text', 'markdown', 'csv', 'json', 'svg'])
        .default('text'),
    )
    .option('--cores <number>', 'how many threads compute; by default as many as there are cores', number)
    .addHelpText(
      'after',
      '\nExample:\n  gusset sweep my.gusset Mine --over "bed.heater.power = 150 W .. 400 W step 50 W" --over "bed.plate is [plate_a, plate_b]" --show cost,bed.power_to_hold',
    )
    .action(async (path: string, machine: string, options) => {
      const { sweepFile } = await import('./sweep.ts');
      status = await sweepFile(path, machine, options, io);
    });

  const printed = () => new Option('--format <format>', 'how to print').choices(['text', 'json']).default('text');

  program
    .command('furthest')
    .description(
      'find the greatest or least value with which no error, warning or requirement fails, and what stops it',
    )
    .argument('<file>', 'a file')
    .argument('<machine>', 'one of its machines')
    .argument('<direction>', 'greatest or least')
    .argument('<value>', 'a value that is given in it')
    .addOption(printed())
    .addHelpText('after', '\nExample:\n  gusset furthest my.gusset Mine greatest bed.heater.power')
    .action(async (path: string, machine: string, direction: string, value: string, options) => {
      const { printGoal } = await import('./explore.ts');
      status = printGoal(path, machine, direction, value, options.format, io);
    });

  program
    .command('around')
    .description('tell how far a number can go either way before a rule or a requirement turns, and what turns there')
    .argument('<file>', 'a file')
    .argument('<machine>', 'one of its machines')
    .argument('<value>', 'a number that is given in it, or taken by default')
    .addOption(printed())
    .addHelpText('after', '\nExample:\n  gusset around my.gusset Mine bed.heater.power')
    .action(async (path: string, machine: string, value: string, options) => {
      const { printAround } = await import('./explore.ts');
      status = printAround(path, machine, value, options.format, io);
    });

  program
    .command('influence')
    .description('tell how much each input moves a value, over its range or its tolerance')
    .argument('<file>', 'a file')
    .argument('<machine>', 'one of its machines')
    .argument('<value>', 'a value of it')
    .option('--by <share>', 'move all other numbers that are given by this share of themselves as well', share, 0)
    .addOption(printed())
    .addHelpText('after', '\nExample:\n  gusset influence my.gusset Mine "bed.warm_up(to: 100 degC)" --by 5%')
    .action(async (path: string, machine: string, value: string, options) => {
      const { printInfluences } = await import('./explore.ts');
      status = printInfluences(path, machine, value, options.by, options.format, io);
    });

  program
    .command('spread')
    .description(
      'draw machines from the tolerances of their values: how a value spreads, and which share meets the requirements',
    )
    .argument('<file>', 'a file')
    .argument('<machine>', 'one of its machines')
    .argument('<value>', 'a value of it')
    .option('--draws <number>', 'how many machines are drawn', number, 500)
    .option('--seed <number>', 'another seed draws others', number, 1)
    .addOption(printed())
    .addHelpText(
      'after',
      '\nA tolerance is said behind a value: power = 80 W { varies 5 % }. Ranges, such as the ambient, stay at their worst.',
    )
    .action(async (path: string, machine: string, value: string, options) => {
      const { printSpread } = await import('./explore.ts');
      status = printSpread(path, machine, value, options, io);
    });

  program
    .command('alternatives')
    .description(
      'put the parts that could stand in a role side by side: what each is, what it makes of the values that matter, what fails',
    )
    .argument('<file>', 'a file')
    .argument('<machine>', 'one of its machines')
    .argument('<block>', 'a block of it that starts from a part')
    .option('--show <values>', 'values to show, with commas between them; without it, those that tell parts apart')
    .addOption(tableFormat())
    .addHelpText('after', '\nExample:\n  gusset alternatives my.gusset Mine bed.heater --show bed.ready_time,cost')
    .action(async (path: string, machine: string, block: string, options) => {
      const { printAlternatives } = await import('./alternatives.ts');
      status = printAlternatives(path, machine, block, options, io);
    });

  program
    .command('diagnose')
    .description(
      'tell what would explain a measured value or a symptom: inputs within their tolerance, or a single defect',
    )
    .argument('<file>', 'a file')
    .argument('<machine>', 'one of its machines')
    .argument(
      '[seen...]',
      'VALUE = what was measured, or a symptom; without any, the measured lines of the file that differ',
    )
    .option('--at <value>', 'at what a range was taken; may be given several times', several, [])
    .option('--recorded <file>', 'a recorded curve, as two columns of a CSV file; what is seen then names the curve')
    .option(
      '--together <most>',
      'the least sets of so many defects at most with which a symptom shows, block by block',
      number,
    )
    .option('--symptoms', 'list the symptoms that the machine can have, and diagnose nothing')
    .addOption(printed())
    .addHelpText(
      'after',
      '\nExamples:\n  gusset diagnose my.gusset Mine "bed.ready_time = 8 min" --at "ambient = 20 degC"\n  gusset diagnose my.gusset Mine loses_steps "motion.x.drive.one_motor.winding_temperature = 90 degC"\n  gusset diagnose my.gusset Mine bed.plate_course --recorded warming.csv\n  gusset diagnose my.gusset Mine does_harm --together 1',
    )
    .action(async (path: string, machine: string, seen: string[], options) => {
      const { printDiagnosis, printRecorded, printSymptoms, printTogether } = await import('./diagnose.ts');
      status = options.symptoms
        ? printSymptoms(path, machine, options.format, io)
        : options.recorded !== undefined
          ? printRecorded(path, machine, seen[0], options, io)
          : options.together !== undefined
            ? printTogether(path, machine, seen, options, io)
            : printDiagnosis(path, machine, seen, options, io);
    });

  program
    .command('serve')
    .description("run the language server, for any editor's client")
    .option('--stdio', 'talk over standard input and output')
    .action(async (options) => {
      if (!options.stdio)
        throw new CallError('The server talks over standard input and output only: call it with --stdio.');
      const { serve } = await import('../process.ts');
      serve();
    });

  try {
    if (args.length === 0) {
      io.err(program.helpInformation());
      return exitStatuses.wrongCall;
    }
    await program.parseAsync([...args], { from: 'user' });
    return status;
  } catch (error) {
    if (error instanceof CommanderError) return error.exitCode === 0 ? exitStatuses.good : exitStatuses.wrongCall;
    const told =
      error instanceof CallError ? error.message : `This is a mistake in the program itself. ${stackOf(error)}`;
    io.err(`gusset: ${told}\n`);
    return exitStatuses.wrongCall;
  }
}

function stackOf(error: unknown): string {
  return error instanceof Error ? (error.stack ?? error.message) : String(error);
}

/** A share, as 0.01 or 1 %. */
function share(text: string): number {
  const [, number, percent] = /^(\d+(?:\.\d+)?)\s*(%)?$/.exec(text.trim()) ?? [];
  if (number === undefined) throw new InvalidArgumentError('Expected a share, such as 1 % or 0.01.');
  return Number(number) / (percent ? 100 : 1);
}

function several(text: string, before: readonly string[]): string[] {
  return [...before, text];
}

function tableFormat(): Option {
  return new Option('--format <format>', 'how to print').choices(['text', 'markdown', 'csv', 'json']).default('text');
}

function number(text: string): number {
  if (!/^\d+$/.test(text)) throw new InvalidArgumentError('Expected a whole number.');
  return Number(text);
}
