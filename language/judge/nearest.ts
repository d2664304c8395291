/** How a number may be changed: in which unit it is written, and whether it is a count, or a point of temperature. */
export interface Scale {
  readonly factor: number;
  readonly zero: number;
  readonly isWhole: boolean;
  readonly isPoint: boolean;
}

/** How far away is looked, in steps that grow: to about fourteen times a number, and to 130 K from a point of temperature. */
const [mostSteps, mostStepsOfPoints] = [12, 9];
const growth = 1.25;
const firstKelvins = 5;
const halvings = 10;

/**
 * Numbers with which something holds, the nearest to the one that fails first, each rounded to as few digits as it still holds
 * with; then some that lie further on the same side, for what else there is to be met. A number above zero stays so.
 */
export function* nearestThatHold(now: number, holds: (value: number) => boolean, scale: Scale): Generator<number> {
  const start = (now - scale.zero) / scale.factor;
  const holdsAt = (amount: number) => holds(amount * scale.factor + scale.zero);
  const found = nearestOutside(start, holdsAt, scale);
  if (!found) return;
  yield found.amount * scale.factor + scale.zero;
  for (let step = found.step; step <= Math.min(found.step + 2, stepsFor(scale)); step++) {
    const further = rounded(away(start, step, found.side, scale), found.side, 2);
    if (further !== found.amount && holdsAt(further)) yield further * scale.factor + scale.zero;
  }
}

const stepsFor = ({ isPoint }: Scale) => (isPoint ? mostStepsOfPoints : mostSteps);

/** The nearest number that holds, outward on both sides, and on which side and how many steps away it is. */
function nearestOutside(start: number, holdsAt: (amount: number) => boolean, scale: Scale) {
  for (let step = 1; step <= stepsFor(scale); step++) {
    for (const side of [-1, 1]) {
      const [before, at] = [away(start, step - 1, side, scale), away(start, step, side, scale)];
      if (at === before || !holdsAt(at)) continue;
      const amount = roundedBetween(before, at, holdsAt, scale);
      return amount === undefined ? undefined : { amount, side, step };
    }
  }
  return undefined;
}

/** So many steps away from a number, each larger than the one before. */
function away(start: number, step: number, side: number, { isWhole, isPoint, factor }: Scale): number {
  if (isPoint) return start + (side * firstKelvins * (growth ** step - 1)) / (growth - 1) / factor;
  if (isWhole) return Math.max(1, start + side * step);
  return start * growth ** (side * step);
}

/** The roundest number between one that fails and one that holds, as near to the failing one as its digits allow. */
function roundedBetween(
  failing: number,
  holding: number,
  holds: (amount: number) => boolean,
  { isWhole }: Scale,
): number | undefined {
  if (isWhole) return holding;
  let [bad, good] = [failing, holding];
  for (let n = 0; n < halvings; n++) {
    const middle = (bad + good) / 2;
    if (holds(middle)) good = middle;
    else bad = middle;
  }
  const side = Math.sign(good - bad);
  // Halving only comes ever nearer to the limit; where the limit is a round number, that number itself is tried.
  const round = [2, 3, 4].flatMap((digits) => [rounded(good, -side, digits), rounded(good, side, digits)]);
  return round.find((amount) => amount !== 0 && Math.sign(amount) === Math.sign(good) && holds(amount));
}

/** Rounded to so many digits, up or down. */
function rounded(amount: number, side: number, digits: number): number {
  const unit = 10 ** (Math.floor(Math.log10(Math.abs(amount) || 1)) - digits + 1);
  const whole = side > 0 ? Math.ceil(amount / unit) : Math.floor(amount / unit);
  return Number((whole * unit).toPrecision(digits + 1));
}
