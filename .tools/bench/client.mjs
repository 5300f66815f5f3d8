// Somebody signed in to a running mill.
export async function signInTo(address, login, password) {
  let cookie = ''
  let token = ''
  const send = async (method, path, body) => {
    const headers = { cookie, 'x-csrf-token': token, ...(body === undefined ? {} : { 'content-type': 'application/json' }) }
    const reply = await fetch(`${address}${path}`, { method, headers, ...(body === undefined ? {} : { body: JSON.stringify(body) }) })
    const set = reply.headers.getSetCookie().map((one) => one.split(';', 1)[0])
    if (set.length > 0) cookie = set.join('; ')
    const text = await reply.text()
    if (!reply.ok) throw new Error(`${method} ${path}: ${reply.status} ${text.slice(0, 200)}`)
    return text
  }
  const session = JSON.parse(await send('POST', '/api/v1/session', { login, password }))
  token = session.csrfToken
  return { get: (path) => send('GET', path), post: (path, body) => send('POST', path, body) }
}
