# SPDX-License-Identifier: Apache-2.0
# From ctest's LastTest.log: "counted PASSED FAILED". A program of Criterion tests counts each of its tests, a Python one
# each of its test functions, any other one. Where the program failed and no test of it did (a leak, a crash at exit, a
# time limit), the program itself counts as one failure.
/^[0-9]+\/[0-9]+ Testing: / { tested = 1; broken = 0; ended = 0; good = 0 }
/Synthesis: Tested: / {
    gsub(/\033\[[0-9;]*m/, "")
    tested = number_after("Tested: ")
    broken = number_after("Failing: ")
}
/^Ran [0-9]+ tests? in / { tested = $2 }
/^FAILED \(/ { broken = number_after("failures=") + number_after("errors=") }
/^<end of output>$/ { ended = 1 }
ended && /^Test Passed\.$/ { good = 1 }
ended && /^".*" time elapsed: / {
    if (good) {
        passed += tested
    } else {
        if (!broken) broken = 1
        failed += broken
        passed += tested > broken ? tested - broken : 0
    }
}
END { printf "counted %d %d\n", passed, failed }

function number_after(word,    at) {
    at = index($0, word)
    return at ? substr($0, at + length(word)) + 0 : 0
}
