/** A chart as a file: its canvas under headings and the names of its lines. */

interface NamedLine {
  label: string;
  style: number;
}

const MARGIN = 16;
const LINE_HEIGHT = 26;
const SAMPLE = 40;
const LARGE = "bold 18px system-ui, sans-serif";
const SMALL = "15px system-ui, sans-serif";

/** Draws a PNG with the ground of the page; the first heading is the largest. */
export async function pictureFile(
  chart: HTMLCanvasElement, headings: readonly string[], lines: readonly NamedLine[],
  color: (name: string) => string, dashes: readonly number[][],
): Promise<Blob> {
  const scale = chart.width / Math.max(1, chart.clientWidth);
  const top = MARGIN + (headings.length + 1) * LINE_HEIGHT;
  const canvas = document.createElement("canvas");
  canvas.width = chart.width + 2 * MARGIN * scale;
  canvas.height = chart.height + (top + MARGIN) * scale;
  const ink = canvas.getContext("2d");
  if (ink === null) throw new Error("this browser draws no pictures");
  ink.fillStyle = color("--panel");
  ink.fillRect(0, 0, canvas.width, canvas.height);
  ink.drawImage(chart, MARGIN * scale, top * scale);
  ink.scale(scale, scale);
  ink.textBaseline = "middle";
  ink.fillStyle = color("--ink");
  headings.forEach((text, place) => {
    ink.font = place === 0 ? LARGE : SMALL;
    ink.fillText(text, MARGIN, MARGIN + (place + 0.5) * LINE_HEIGHT);
  });
  paintNames(ink, MARGIN + (headings.length + 0.5) * LINE_HEIGHT, lines, color, dashes);
  return toBlob(canvas);
}

function paintNames(
  ink: CanvasRenderingContext2D, y: number, lines: readonly NamedLine[],
  color: (name: string) => string, dashes: readonly number[][],
): void {
  ink.font = SMALL;
  ink.lineWidth = 2;
  let x = MARGIN;
  for (const { label, style } of lines) {
    ink.strokeStyle = color(`--line-${style}`);
    ink.setLineDash(dashes[style] ?? []);
    ink.beginPath();
    ink.moveTo(x, y);
    ink.lineTo(x + SAMPLE, y);
    ink.stroke();
    ink.fillText(label, x + SAMPLE + 8, y);
    x += SAMPLE + 32 + ink.measureText(label).width;
  }
}

function toBlob(canvas: HTMLCanvasElement): Promise<Blob> {
  return new Promise((resolve, reject) => {
    canvas.toBlob((blob) => {
      if (blob === null) reject(new Error("the picture could not be made"));
      else resolve(blob);
    }, "image/png");
  });
}
