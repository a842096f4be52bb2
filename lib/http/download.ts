/** Files to keep: answered with a name to save them under (RFC 6266). */

export function download(content: string | Uint8Array<ArrayBuffer> | ReadableStream<Uint8Array>, type: string, name: string): Response {
  const plain = name.replace(/[^A-Za-z0-9._-]/g, '_')
  return new Response(content, {
    headers: {
      'content-type': type,
      'content-disposition': `attachment; filename="${plain}"; filename*=UTF-8''${encodeURIComponent(name)}`,
      'cache-control': 'no-store',
      'x-content-type-options': 'nosniff',
    },
  })
}
