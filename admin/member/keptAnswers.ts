/** Answers of this page load: a tab shows at once what was last seen, while the mill is asked anew. */
const kept = new Map<string, unknown>()

export const keepAnswer = (path: string, body: unknown): void => {
  kept.set(path, body)
}

/** All of them, or nothing: a page is drawn whole. */
export const keptAnswers = (paths: readonly string[]): readonly unknown[] | undefined =>
  paths.every((path) => kept.has(path)) ? paths.map((path) => kept.get(path)) : undefined

export const forgetAnswers = (): void => kept.clear()
