/** Pictures over HTTP: asked for anew each time, sent only when they changed (ETag, RFC 9110). */
import { Readable } from 'node:stream'

type Picture = { mime: string /** Names these very bytes. */; tag: string; content: () => Promise<Uint8Array> | Readable }

export async function pictureAnswer(request: Request, { mime, tag, content }: Picture): Promise<Response> {
  const headers = { etag: `"${tag}"`, 'cache-control': 'private, no-cache' }
  if (request.headers.get('if-none-match') === `"${tag}"`) return new Response(null, { status: 304, headers })
  const made = content()
  const body = made instanceof Readable ? (Readable.toWeb(made) as ReadableStream) : ((await made) as Uint8Array<ArrayBuffer>)
  return new Response(body, { headers: { ...headers, 'content-type': mime, 'x-content-type-options': 'nosniff' } })
}
