/** 10^x, a few times as fast as `10 ** x` and to 14 digits. */
export const powerOfTen = (x: number) => Math.exp(x * Math.LN10)
