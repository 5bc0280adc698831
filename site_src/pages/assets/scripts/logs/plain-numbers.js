// Numbers as the messages about logs write them, with Python's rounding: of two equally near the even one.

/**
 * Up to so many significant digits, with an exponent only where the number is very large or small: Python's "g".
 * @param {number} value
 * @param {number} [digits]
 */
export function general(value, digits = 6) {
  if (!Number.isFinite(value)) return value > 0 ? "inf" : value < 0 ? "-inf" : "nan";
  if (value === 0) return "0";
  const { sign, figures, exponent } = inDigits(value, digits);
  const kept = figures.replace(/0+$/, "") || "0";
  if (exponent < -4 || exponent >= digits) {
    const mantissa = kept.length > 1 ? `${kept.slice(0, 1)}.${kept.slice(1)}` : kept;
    return `${sign}${mantissa}e${exponent < 0 ? "-" : "+"}${String(Math.abs(exponent)).padStart(2, "0")}`;
  }
  if (exponent < 0) return `${sign}0.${"0".repeat(-exponent - 1)}${kept}`;
  const whole = kept.slice(0, exponent + 1).padEnd(exponent + 1, "0");
  const rest = kept.slice(exponent + 1);
  return sign + whole + (rest && `.${rest}`);
}

/**
 * The nearest whole number, of two equally near the even one.
 * @param {number} value
 */
export function rounded(value) {
  const below = Math.floor(value);
  const over = value - below;
  if (over !== 0.5) return over < 0.5 ? below : below + 1;
  return below % 2 === 0 ? below : below + 1;
}

/**
 * Rounded to so many decimals, away from what sums of decimal fractions leave behind.
 * @param {number} value
 * @param {number} decimals
 */
export function toDecimals(value, decimals) {
  return Math.abs(value) < 1e15 ? Number(value.toFixed(decimals)) : value;
}

/**
 * The significant digits of a number and the power of ten of the first.
 * @param {number} value
 * @param {number} digits
 */
function inDigits(value, digits) {
  const [mantissa = "", power = "0"] = Math.abs(value).toExponential(60).split("e");
  const all = mantissa.replace(".", "");
  const [kept, rest] = [all.slice(0, digits), all.slice(digits)];
  const half = `5${"0".repeat(rest.length - 1)}`;
  const up = rest > half || (rest === half && "13579".includes(kept.slice(-1)));
  const whole = String(BigInt(kept) + (up ? 1n : 0n));
  const exponent = Number(power) + (whole.length > digits ? 1 : 0);
  return { sign: value < 0 ? "-" : "", figures: whole.slice(0, digits), exponent };
}
