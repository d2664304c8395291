import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { run } from '../../server/cli/program.ts';
import type { Finding, MachineReport, Report } from '../../server/cli/schema.ts';

/** A folder of files to run the command line in. */
export class Folder {
  readonly path = mkdtempSync(join(tmpdir(), 'gusset-cli-'));

  write(files: Record<string, string | Uint8Array>): this {
    for (const [name, content] of Object.entries(files)) {
      mkdirSync(dirname(join(this.path, name)), { recursive: true });
      writeFileSync(join(this.path, name), content);
    }
    return this;
  }

  /** Runs the command line, as a process would that is started here. */
  async run(...args: string[]): Promise<{ status: number; out: string; err: string }> {
    return this.#run(args, false);
  }

  async runInColour(...args: string[]): Promise<{ status: number; out: string; err: string }> {
    return this.#run(args, true);
  }

  async #run(args: string[], colours: boolean) {
    let [out, err] = ['', ''];
    const status = await run(args, {
      out: (text) => {
        out += text;
      },
      err: (text) => {
        err += text;
      },
      cwd: this.path,
      colours,
      width: 100,
    });
    return { status, out, err };
  }

  /** What `check --format json` says of a text. */
  async report(text: string, ...options: string[]): Promise<Report> {
    this.write({ 'a.gusset': text });
    return JSON.parse((await this.run('check', '--format', 'json', '--values', ...options, 'a.gusset')).out);
  }

  async machine(text: string): Promise<MachineReport & Required<Pick<MachineReport, 'values'>>> {
    return (await this.report(text)).machines[0] as Awaited<ReturnType<Folder['machine']>>;
  }

  async findings(text: string): Promise<Finding[]> {
    return (await this.report(text)).findings;
  }

  remove(): void {
    rmSync(this.path, { recursive: true, force: true });
  }
}

/** A mat on a supply, in which everything holds; tests replace a line of it. */
export const bench = `machine Bench {
  ambient = 20 degC
  mains = 230 V
  supply psu is supply_24v_450w { own_plug = yes }
  heater mat {
    power = 250 W
    voltage = 24 V
    size = 240 mm x 240 mm
  }
  circuit mat_power {
    fuse is blade_15a
    wire {
      area = 2.5 mm^2
      length = 0.9 m
      insulation = silicone
    }
    path = [psu, fuse, wire, mat]
  }
}
`;

/** The bench with a line replaced, or with lines put before or after it. */
export function changed(...changes: readonly (readonly [string, string])[]): string {
  return changes.reduce((text, [before, after]) => {
    if (!text.includes(before)) throw new Error(`there is no ${before}`);
    return text.replace(before, after);
  }, bench);
}

/** A kind of the file's own, so that what is printed does not hang on the library's numbers. */
export const shelf = `/// What a shelf may be made of, by its thickness.
sizes boards: Length = [12 mm, 18 mm, 25 mm] {
  source practice "boards as they are sold"
}

/// A shelf.
kind shelf {
  toplevel
  /// What lies on it.
  load: Mass
  /// What it bears.
  limit: Mass
  /// How thick it is.
  thickness: Length? {
    sizes boards
  }
  /// Pull of the earth.
  pull: Acceleration default 9.81 m/s^2 {
    source recalled "at middle latitudes"
  }
  /// How hard it is pressed.
  press: Force = load * pull {
    source defined "F = m a"
    assumes "it stands still"
  }
  /// The same, by its limit.
  share: Ratio = press / (limit * pull) {
    source defined "force by force"
  }
  /// What it bears, by what lies on it.
  reserve: Ratio = limit / load {
    source defined "limit by load"
  }
}

/// A shelf bears what lies on it.
rule shelf_overloaded on shelf {
  holds load <= limit
  error "{load} lies on {name}, which bears {limit}"
  caution "It falls: stand clear."
  source defined "load and limit"
  at load
  remedy "take something off it"
}

/// A shelf has something in reserve.
rule shelf_without_reserve on shelf {
  holds reserve >= 1.25
  warning "{name} bears {reserve} times what lies on it"
  source practice "a quarter more"
  at limit
  follows shelf_overloaded of self
}

/// A shelf does not sag.
rule shelf_sags on shelf {
  holds thickness >= 15 mm
  warning "{thickness} of board sags over time, more than anyone would like to see at home or in the workshop"
  source practice "what joiners take"
  at thickness
}
`;
