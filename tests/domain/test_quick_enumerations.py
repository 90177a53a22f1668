"""Enumerations with plain members are enumerations all the same."""

import copy
import pickle

import pytest

from changeout.domain import findings
from changeout.domain.truth import Truth

ENUMERATIONS = (
    Truth,
    findings.Judgement,
    findings.Outcome,
    findings.Stage,
    findings.Effect,
    findings.Basis,
    findings.Advice,
    findings.Reviewed,
)


@pytest.mark.parametrize("enumeration", ENUMERATIONS)
def test_members_are_plain_attributes_and_each_is_there_once(enumeration):
    assert len(enumeration) > 1
    for member in enumeration:
        assert vars(enumeration)[member.name] is member
        assert enumeration(member.value) is enumeration[member.name] is member
        assert pickle.loads(pickle.dumps(member)) is copy.deepcopy(member) is member
        assert {member: 1}[enumeration(member.value)] == 1


def test_a_member_cannot_be_set():
    with pytest.raises(AttributeError):
        Truth.YES = Truth.NO
    assert Truth.YES is not Truth.NO
