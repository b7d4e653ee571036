import { Refusal, UNREACHABLE, refusalFrom } from "./refusal.ts";

/** Hears which part of a body is on its way, from 0 to 1. */
export type Progress = (part: number) => void;

/** Posts bytes. `fetch` cannot say how far a body has come. Rejects with a Refusal. */
export function upload(path: string, body: Blob, progress: Progress): Promise<void> {
  return new Promise((resolve, reject) => {
    const request = new XMLHttpRequest();
    request.open("POST", `/api${path}`);
    request.upload.onprogress = ({ loaded, total }) => progress(total > 0 ? loaded / total : 0);
    request.onerror = () => reject(new Refusal(UNREACHABLE, "", [], null));
    request.onload = () => {
      if (request.status < 300) resolve();
      else void refusalFrom(answerOf(request)).then(reject, reject);
    };
    request.send(body);
  });
}

function answerOf(request: XMLHttpRequest): Response {
  const { status, statusText } = request;
  const headers = { "content-type": request.getResponseHeader("content-type") ?? "" };
  return new Response(request.responseText, { status, statusText, headers });
}
