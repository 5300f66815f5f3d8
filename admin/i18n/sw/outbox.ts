import type { SameKeys } from '../translate'
import type { outbox as english } from '../en/outbox'

export const outbox: SameKeys<typeof english> = {
  outbox: {
    title: 'Maingizo kwenye simu hii',
    intro: 'Yanayosubiri yatatumwa yenyewe, kwa mpangilio huu. Usiyaandike tena. Hakuna kinachohesabiwa kuwa stoo au oda hadi kitumwe.',
    empty: 'Hakuna ingizo linalosubiri. Unachoandika bila mtandao hukaa hapa hadi kinu kikipate.',
    entered: 'Liliandikwa %{date}, %{time}',
    what: {
      receive: 'Pokea: %{kg} za %{name} kutoka %{supplier}',
      results: 'Matokeo ya mzigo %{number}, %{name}',
      samples: 'Matokeo ya sampuli %{smart_count}',
      'hand-over': 'Kabidhi: oda %{number}, %{kg}, kwa %{member}',
      order: 'Oda: %{bags}, %{feed}, kwa %{flock}',
    },
    made: {
      receive: 'Ni mzigo %{number}.',
      'hand-over': 'Oda %{number} imekabidhiwa.',
      order: 'Ni oda %{number}.',
    },
    sendNow: 'Tuma sasa',
    sendAgain: 'Tuma tena',
    throwAway: 'Tupa',
    throwWhy: 'Kwa nini linatupwa?',
    throwNote: 'Kinu hakitalipata. Litakaa hapa siku 30 pamoja na sababu yako.',
    thrownAway: 'Limetupwa %{time}: %{reason}',
    sentLongAgo: 'Lilitumwa, na hakuna jibu kwa siku nzima. Huenda kinu tayari kinalo. Angalia huko kwanza; litume tena ikiwa tu halipo.',
    noAnswer: 'Bado hakuna jibu. Litatumwa tena lenyewe, na litahesabiwa mara moja.',
    bar: {
      sending: 'Ingizo %{smart_count} linatumwa |||| Maingizo %{smart_count} yanatumwa',
      refused: 'Ingizo %{smart_count} halikukubaliwa |||| Maingizo %{smart_count} hayakukubaliwa',
      others:
        'Ingizo %{smart_count} la mtu mwingine linasubiri kwenye simu hii hadi aingie |||| Maingizo %{smart_count} ya watu wengine yanasubiri kwenye simu hii hadi waingie',
      nobody:
        'Ingizo %{smart_count} linasubiri kwenye simu hii. Ingia ili litumwe |||| Maingizo %{smart_count} yanasubiri kwenye simu hii. Ingia ili yatumwe',
      show: 'Angalia',
    },
    leave: {
      title: 'Utoke ukiwa na maingizo kwenye simu hii?',
      note: 'Ingizo %{smart_count} halijatumwa. Litakaa kwenye simu hii, na litatumwa utakapoingia hapa tena. |||| Maingizo %{smart_count} hayajatumwa. Yatakaa kwenye simu hii, na yatatumwa utakapoingia hapa tena.',
      stay: 'Baki ndani',
    },
    signInAgain: 'Muda wako umeisha. Ingia tena; maingizo yako yanabaki kwenye simu hii.',
  },
}
