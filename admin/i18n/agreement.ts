/** Which prefix a verb takes after a Swahili noun, by the noun's first word: "nyuzinyuzi zisizidi", "mahindi yasizidi". */
export type Agreement = 'i' | 'zi' | 'ya' | 'u' | 'ki'

const BY_FIRST_WORD: Readonly<Record<string, Agreement>> = {
  nyuzinyuzi: 'zi',
  pumba: 'zi',
  chenga: 'zi',
  njegere: 'zi',
  kunde: 'zi',
  mbaazi: 'zi',
  mafuta: 'ya',
  majivu: 'ya',
  mahindi: 'ya',
  mashudu: 'ya',
  maganda: 'ya',
  majani: 'ya',
  matunda: 'ya',
  unga: 'u',
  unyevu: 'u',
  ukavu: 'u',
  uwele: 'u',
  ulezi: 'u',
  uwiano: 'u',
  mtama: 'u',
  muhogo: 'u',
  wanga: 'u',
  kiini: 'ki',
  "kimeng'enya": 'ki',
  kifunga: 'ki',
}

export const agreementOf = (noun: string): Agreement => BY_FIRST_WORD[noun.toLowerCase().split(/\s/)[0] ?? ''] ?? 'i'
