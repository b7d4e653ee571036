/** A number with its noun: "1 vessel", "12 vessels". */
export const several = (n: number, one: string, many: string): string =>
  `${n} ${n === 1 ? one : many}`;
