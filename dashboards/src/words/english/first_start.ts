export const firstStart = {
  title: "Three steps to your first lot",
  step: (n: number, what: string) => `${n}. ${what}`,
  state: { done: "done", next: "next", later: "later" },
  instruments: "Instruments",
  found: "These were found at this bench:",
  none: "This bench has no instruments yet. Each is a section of workshop.toml; then start again.",
  missing: {
    scale: "There is no scale: without it nothing is weighed. One without a lead is typed in by hand "
      + "(kind “manual”).",
    pitcher: "There is no thermometer for the pitcher: the windows of fragrance and pour are not "
      + "watched.",
    pot: "There is no thermometer for the pot: overheating of the pot is not watched.",
  },
  silent: "One that says nothing tells below why, and what to do. You can go on meanwhile.",
  recipe: "First recipe",
  recipeWhat: "A recipe says what one candle is made of, and between which temperatures.",
  example: "Start from an example",
  blank: "Write my own recipe",
  recipeDone: (name: string) => `Kept: ${name}`,
  lot: "First lot",
  lotWhat: "Say how many vessels you will fill, and open the lot. Then do what the screen says.",
  lotLater: "Comes once there is a recipe.",
};
