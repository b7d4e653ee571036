/** The parts of an RFC 9457 problem document that the screens use. */
interface Problem {
  title?: string;
  detail?: string;
  lot?: string;
  errors?: { field: string; problem: string }[];
}

/** The status of a refusal where the service could not be reached at all. */
export const UNREACHABLE = 0;

/** The service did not do what was asked; `status` is that of HTTP, or UNREACHABLE. */
export class Refusal extends Error {
  readonly status: number;
  readonly fields: readonly string[];
  /** The open lot that is in the way, where the bench is busy. */
  readonly lot: string | null;

  constructor(
    status: number, sentence: string, fields: string[], lot: string | null, options?: ErrorOptions,
  ) {
    super(sentence, options);
    this.name = "Refusal";
    this.status = status;
    this.fields = fields;
    this.lot = lot;
  }
}

/** The line broke, before an answer or in the middle of one. */
export function unreachable(cause: unknown): never {
  throw new Refusal(UNREACHABLE, "", [], null, { cause });
}

/** Reads the problem document of a failed response; a response without one keeps its status. */
export async function refusalFrom(response: Response): Promise<Refusal> {
  const type = response.headers.get("content-type") ?? "";
  const problem = type.includes("json") ? await response.json().catch(unreachable) as Problem : {};
  const sentence = problem.detail ?? problem.title ?? `${response.status} ${response.statusText}`;
  const fields = (problem.errors ?? [])
    .filter((error) => !sentence.includes(error.problem)) // said already, in better words
    .map((error) => `${error.field}: ${error.problem}`);
  return new Refusal(response.status, sentence, fields, problem.lot ?? null);
}
