import { readFileSync } from 'node:fs'
import { parse } from 'csv-parse/sync'
import { expect, test } from 'vitest'
import { sourceTitle, sourceTitles } from '#contract/source-titles'
import { en } from '../../../admin/i18n/en'
import { translate } from '../../../admin/i18n/translate'

const rows = (file: string): Record<string, string>[] => parse(readFileSync(`seed/reference/${file}`, 'utf8'), { columns: true })

test('every ingredient of the book has a name on the screen', () => {
  for (const { key = '' } of rows('ingredients.csv')) expect(translate(en, `ingredient.${key}`), key).not.toBe(`ingredient.${key}`)
})

test('every source of rules, medicines, requirements and trace nutrients has a title on the screen', () => {
  const titles = sourceTitles()
  for (const file of ['safety_rules.csv', 'coccidiostats.csv', 'requirements.csv', 'micronutrients.csv'])
    for (const { source = '' } of rows(file)) expect(titles.has(source), `${file} ${source}`).toBe(true)
  expect(sourceTitle('TEXTBOOK', 'sw')).toContain('vitabu')
  expect(sourceTitle('EU2002_32', 'sw')).toBe(sourceTitle('EU2002_32', 'en'))
})

test('every stage with requirements has a name on the screen', () => {
  for (const { flock_type: stage = '' } of rows('requirements.csv'))
    expect(translate(en, `stage.${stage}`), stage).not.toBe(`stage.${stage}`)
})
