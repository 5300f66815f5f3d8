import { API, headersFor, Problem, problemOf, type RequestOptions } from './http'

/** A table of results packs to a tenth: over a slow network that is the difference between a minute and ten. */
const pack = async (text: string): Promise<{ body: Blob; packed: boolean }> => {
  const body = new Blob([text])
  if (typeof CompressionStream === 'undefined') return { body, packed: false }
  return { body: await new Response(body.stream().pipeThrough(new CompressionStream('gzip'))).blob(), packed: true }
}

const parsed = (text: string): unknown => {
  try {
    return JSON.parse(text) as unknown
  } catch {
    return text
  }
}

type UploadOptions = RequestOptions & {
  /** How much of the body has gone out, from 0 to 1; `fetch` cannot tell. */
  readonly onSent: (share: number) => void
}

/** POSTs a long body and tells how far it is. Throws a `Problem`, or the AbortError of the signal. */
export const upload = async <T>(path: string, { onSent, ...options }: UploadOptions): Promise<T> => {
  const { body, packed } = await pack(JSON.stringify(options.body))
  options.signal?.throwIfAborted()
  return new Promise<T>((resolve, reject) => {
    const request = new XMLHttpRequest()
    request.open('POST', `${API}${path}`)
    headersFor('POST', options).forEach((value, name) => request.setRequestHeader(name, value))
    if (packed) request.setRequestHeader('content-encoding', 'gzip')
    request.upload.onprogress = ({ loaded, total }) => onSent(total === 0 ? 1 : loaded / total)
    request.upload.onload = () => onSent(1)
    request.onload = () => {
      const answer = parsed(request.responseText)
      const requestId = request.getResponseHeader('x-request-id')
      const headers = new Headers(requestId === null ? {} : { 'x-request-id': requestId })
      if (request.status >= 200 && request.status < 300) resolve(answer as T)
      else reject(problemOf(request.status, answer, headers))
    }
    request.onerror = () => reject(new Problem(navigator.onLine ? 'no-answer' : 'no-network', 0, undefined, [], null))
    request.onabort = () => reject(new DOMException('stopped', 'AbortError'))
    options.signal?.addEventListener('abort', () => request.abort())
    request.send(body)
  })
}
