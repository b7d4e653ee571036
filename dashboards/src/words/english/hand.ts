export const hand = {
  title: "Type a reading",
  which: "Which one?",
  value: (name: string, unit: string) => `Value of ${name} in ${unit}`,
  keep: (name: string) => `Keep for ${name}`,
  zero: "Tared: keep 0",
  back: "Take the last digit back",
  point: "Decimal point",
  about: {
    scale: "Type every value at which the scale comes to rest, the zero after each tare included.",
    thermometer: "Type what the display shows as often as you look at it.",
  },
  noNumber: "Type a number, such as 82.1.",
  kept: (value: string, unit: string) => `Kept: ${value} ${unit}`,
  sure: (value: string, unit: string) => `Press again to keep ${value} ${unit}`,
};
